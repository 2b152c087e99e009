using SweepRig.Analysis.Fitting;
using SweepRig.Analysis.Models;
using SweepRig.Domain.Measurement;

namespace SweepRig.Analysis.Laws;

/// <summary>
/// Plate (and screen) readings against where a law meets the load line: V with rail - V = R I(V). Parameters are logarithms of the law's constants. The
/// law's own derivatives come from central differences of its current, those of V from them by the implicit function theorem.
/// </summary>
internal sealed class LawProblem : ILeastSquaresProblem
{
    private const double LogStep = 1e-5, VoltStep = 1e-4;

    private readonly LawForm _form;
    private readonly List<Node> _nodes = [];

    public LawProblem(IReadOnlyList<PassData> passes, LawForm form)
    {
        _form = form;
        foreach (var pass in passes)
        {
            var points = LawPoints.Of(pass);
            if (points.Length == 0) continue;
            var connection = pass.Run.Connection;
            var screen = pass.Channels.FirstOrDefault(c => c.Place == VoltagePlace.Screen);
            foreach (var channel in pass.Channels.Where(c => c.Place == VoltagePlace.Plate || (c.Place == VoltagePlace.Screen && form.Screen is not null)))
            {
                Channels.Add(new(pass, channel, points, _nodes.Count));
                var isPlate = channel.Place == VoltagePlace.Plate;
                foreach (var i in points)
                {
                    _nodes.Add(new(
                        isPlate, pass.Drive[i], pass.Rail[i], isPlate ? connection.PlateResistor.Value : connection.ScreenResistor.Value,
                        isPlate ? screen?.Volts[i] ?? pass.Rail[i] : 0, channel.Volts[i], channel.Scatter));
                }
            }
        }
    }

    /// <param name="Points">Places within the pass.</param>
    /// <param name="First">Residual of the first of them; the others follow.</param>
    public sealed record Channel(PassData Pass, PassData.ChannelData Data, int[] Points, int First);

    // Grid at the drive: without grid current nothing is dropped, and the drive scatters less than a reading.
    private readonly record struct Node(bool IsPlate, double Grid, double Rail, double Ohms, double Screen, double Reading, double Scatter);

    public List<Channel> Channels { get; } = [];

    public int ParameterCount => _form.Terms.Count;

    public int ResidualCount => _nodes.Count;

    public bool Evaluate(ReadOnlySpan<double> parameters, Span<double> residuals, Span<double> jacobian)
    {
        var constants = Constants(parameters);
        for (var i = 0; i < _nodes.Count; i++)
        {
            var node = _nodes[i];
            var volts = OnLoadLine(node, constants);
            residuals[i] = (volts - node.Reading) / node.Scatter;
            if (!double.IsFinite(residuals[i])) return false;
            if (jacobian.IsEmpty) continue;
            var stiffness = (1 + node.Ohms * ByVolts(node, constants, volts)) * node.Scatter;
            for (var k = 0; k < constants.Length; k++)
                jacobian[k * _nodes.Count + i] = -node.Ohms * ByLogarithm(node, constants, k, volts) / stiffness;
        }
        return true;
    }

    public static double[] Constants(ReadOnlySpan<double> parameters)
    {
        var constants = parameters.ToArray();
        for (var k = 0; k < constants.Length; k++) constants[k] = Math.Exp(constants[k]);
        return constants;
    }

    private double Current(in Node node, double[] constants, double volts) =>
        node.IsPlate ? _form.Plate(constants, volts, node.Grid, node.Screen) : _form.Screen!(constants, node.Grid, volts);

    private double ByVolts(in Node node, double[] constants, double volts) =>
        (Current(node, constants, volts + VoltStep) - Current(node, constants, volts - VoltStep)) / (2 * VoltStep);

    private double ByLogarithm(in Node node, double[] constants, int k, double volts)
    {
        var value = constants[k];
        constants[k] = value * Math.Exp(LogStep);
        var up = Current(node, constants, volts);
        constants[k] = value * Math.Exp(-LogStep);
        var down = Current(node, constants, volts);
        constants[k] = value;
        return (up - down) / (2 * LogStep);
    }

    // rail - V - R I(V) falls with V, for current rises with its electrode's voltage: Newton's steps, halved brackets where they lead out of it.
    private double OnLoadLine(in Node node, double[] constants)
    {
        double low = 0, high = node.Rail, volts = high;
        for (var n = 0; n < 100 && high - low > 1e-13 * node.Rail; n++)
        {
            var excess = node.Rail - volts - node.Ohms * Current(node, constants, volts);
            if (excess > 0) low = volts;
            else high = volts;
            var step = excess / (1 + node.Ohms * ByVolts(node, constants, volts));
            if (Math.Abs(step) < 1e-12 * node.Rail) return volts;
            volts = volts + step > low && volts + step < high ? volts + step : 0.5 * (low + high);
        }
        return volts;
    }
}
