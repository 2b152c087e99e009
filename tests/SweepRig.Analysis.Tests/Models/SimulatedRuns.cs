using SweepRig.Analysis.Models;
using SweepRig.Analysis.Uncertainty;
using SweepRig.Domain;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Tests.Models;

/// <summary>Runs of a tube whose constants are known, on a bench whose errors are drawn from what its calibration states.</summary>
internal sealed class SimulatedRuns
{
    private readonly Dictionary<VoltagePlace, (double Offset, double Gain)> _errors = [];
    private readonly Dictionary<(ResistorPlace, double), double> _resistors = [];
    private readonly RandomStream _random;
    private readonly double _noise;
    private readonly double _ohmsUncertainty;

    /// <param name="seed">Names the bench and its noise.</param>
    /// <param name="offsetVolts">Standard uncertainty of each channel's offset; its error is drawn from it.</param>
    /// <param name="gain">Of each channel's gain.</param>
    /// <param name="ohms">Relative, of each resistor.</param>
    /// <param name="noise">Standard deviation of a single reading, volts.</param>
    public SimulatedRuns(ulong seed, double offsetVolts = 0, double gain = 0, double ohms = 0, double noise = 1e-3)
    {
        _random = new(seed);
        (_noise, _ohmsUncertainty) = (noise, ohms);
        Calibration = new("checked", "SIM-0001", [.. RigChannels.All.Select(_ => new VoltageCorrection(1, 0, gain, offsetVolts))], new VoltageCorrection(1, 0, gain, offsetVolts));
        foreach (var place in Enum.GetValues<VoltagePlace>()) _errors[place] = (offsetVolts * _random.Normal(), gain * _random.Normal());
    }

    public RigCalibration Calibration { get; }

    public static Connection Connection(ConnectionKind kind, double plateOhms = 10_000, double rail = 28, double heater = 6.3) =>
        new(kind, new(rail), new(-14), new(heater), new(plateOhms), new(1_000), new(4_700));

    public static double[] Even(double from, double to, int points) => [.. Enumerable.Range(0, points).Select(i => from + (to - from) * i / (points - 1))];

    /// <summary>One run, one pass for each rail; the single rail of the connection by default.</summary>
    public ModelRun Run(TubeParameters tube, Connection connection, double[] drives, string name = "run", double[]? rails = null, double[]? heaters = null)
    {
        List<Curve> curves = [];
        var steps = rails ?? heaters ?? [connection.PlateRail.Value];
        foreach (var step in steps)
        {
            var stepped = rails is not null ? connection with { PlateRail = new(step) } : heaters is not null ? connection with { Heater = new(step) } : connection;
            curves.Add(Pass(tube, stepped, drives, curves.Count, rails is not null || heaters is not null ? step : null));
        }
        return new(name, connection, curves, Known(connection), rails is not null ? SteppedSource.PlateRail : heaters is not null ? SteppedSource.Heater : null);
    }

    private MeasurementUncertainty Known(Connection c) => new(
        Calibration,
        [.. Enum.GetValues<VoltagePlace>().Select(p => new VoltageUncertainty(p, p == VoltagePlace.Drive ? Calibration.Drive : Calibration.Channels[(int)p], 0))],
        [Known(ResistorPlace.Plate, c.PlateResistor.Value), Known(ResistorPlace.Screen, c.ScreenResistor.Value), Known(ResistorPlace.GridStopper, c.GridStopper.Value)]);

    private ResistorUncertainty Known(ResistorPlace place, double ohms) => new(place, ohms, _ohmsUncertainty * ohms, 0, true);

    private Curve Pass(TubeParameters tube, Connection c, double[] drives, int index, double? step)
    {
        var model = new TubeModel(tube, c.Heater);
        var known = Known(c);
        var solver = new FixtureSolver(c with
        {
            PlateResistor = new(True(ResistorPlace.Plate, c.PlateResistor.Value)),
            ScreenResistor = new(True(ResistorPlace.Screen, c.ScreenResistor.Value)),
            GridStopper = new(True(ResistorPlace.GridStopper, c.GridStopper.Value)),
        });
        var points = Array.ConvertAll(drives, d => solver.Solve(model, Actual(VoltagePlace.Drive, d)));
        double[] Read(VoltagePlace place, Func<FixturePoint, double> volts) => Array.ConvertAll(points, p => Reading(place, volts(p)));
        double[] Told(VoltagePlace place, Func<FixturePoint, double> volts) => Array.ConvertAll(points, p => Math.Sqrt(_noise * _noise + Math.Pow(known.Voltages[(int)place]!.At(volts(p)), 2)));
        double[] Nothing() => Array.ConvertAll(drives, _ => double.NaN);
        return new()
        {
            Pass = new(index, PassDirection.Up, drives.Length, 0, step),
            Drive = drives,
            Plate = Read(VoltagePlace.Plate, p => p.Plate),
            Grid = Read(VoltagePlace.Grid, p => p.Grid),
            Screen = Read(VoltagePlace.Screen, p => p.Screen),
            Supply = Read(VoltagePlace.Supply, _ => c.PlateRail.Value),
            GridCurrent = Nothing(),
            ScreenCurrent = Nothing(),
            PlateCurrent = Nothing(),
            PlateUncertainty = Told(VoltagePlace.Plate, p => p.Plate),
            GridUncertainty = Told(VoltagePlace.Grid, p => p.Grid),
            ScreenUncertainty = Told(VoltagePlace.Screen, p => p.Screen),
            SupplyUncertainty = Told(VoltagePlace.Supply, _ => c.PlateRail.Value),
            Flags = Array.ConvertAll(drives, _ => SampleFlags.Settled),
            SampledAtTicks = Array.ConvertAll(drives, _ => 1L),
        };
    }

    // Readings are corrected as if nothing were wrong: true = reading + offset + gain * reading.
    private double Reading(VoltagePlace place, double volts) => (volts - _errors[place].Offset) / (1 + _errors[place].Gain) + _noise * _random.Normal();

    private double Actual(VoltagePlace place, double volts) => volts + _errors[place].Offset + _errors[place].Gain * volts;

    private double True(ResistorPlace place, double ohms)
    {
        if (_resistors.TryGetValue((place, ohms), out var known)) return known;
        return _resistors[(place, ohms)] = ohms * (1 + _ohmsUncertainty * _random.Normal());
    }
}
