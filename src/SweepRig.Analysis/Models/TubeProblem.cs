using SweepRig.Analysis.Fitting;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Models;

/// <summary>
/// Readings of all passes against the node voltages that the model gives for their drives. Parameters: the coordinates of the tube in the order of
/// <see cref="TubeCoordinates.All"/>, then the unknowns of the measurement. Residuals: readings in units of their scatter, pass by pass and channel by
/// channel; then the priors of the unknowns; then those of the tube.
/// </summary>
internal sealed class TubeProblem : ILeastSquaresProblem
{
    private static readonly int Coordinates = TubeCoordinates.All.Count;

    private readonly CancellationToken _cancellation;
    private readonly TubeParameters _frame;
    private readonly double[] _centre;
    private readonly double[] _grid, _screen, _plate;
    private readonly Dictionary<double, TubeModel> _models = [];

    /// <param name="passes">At least one.</param>
    /// <param name="typical">Centre of the priors, and the constants that no fit tells.</param>
    /// <param name="cancellation">Ends an evaluation that has not begun.</param>
    public TubeProblem(IReadOnlyList<PassData> passes, TubeParameters typical, CancellationToken cancellation = default)
    {
        _cancellation = cancellation;
        Passes = passes;
        _frame = typical;
        _centre = [.. TubeCoordinates.All.Select(p => TubeCoordinates.Coordinate(typical, p))];
        Nuisances = [.. passes.Select(p => p.Run).Distinct().SelectMany(r => Nuisance.Of(r.Known)).Distinct()];
        Readings = passes.Sum(p => p.Residuals);
        var most = passes.Max(p => p.Count);
        (_grid, _screen, _plate) = (new double[most], new double[most], new double[most]);
    }

    public IReadOnlyList<PassData> Passes { get; }

    public IReadOnlyList<Nuisance> Nuisances { get; }

    /// <summary>Residuals that are readings; the rest are priors.</summary>
    public int Readings { get; }

    public int ParameterCount => Coordinates + Nuisances.Count;

    public int ResidualCount => Readings + Nuisances.Count + Coordinates;

    public double[] Centre => [.. _centre, .. Nuisances.Select(_ => 0.0)];

    public TubeParameters Tube(ReadOnlySpan<double> parameters) => TubeCoordinates.With(_frame, parameters[..Coordinates]);

    public bool Evaluate(ReadOnlySpan<double> parameters, Span<double> residuals, Span<double> jacobian)
    {
        _cancellation.ThrowIfCancellationRequested();
        jacobian.Clear();
        var tube = Tube(parameters);
        if (tube.Faults().Count > 0) return false;
        _models.Clear();
        var unknowns = parameters[Coordinates..];
        var row = 0;
        foreach (var pass in Passes)
        {
            if (!_models.TryGetValue(pass.Heater, out var model)) _models[pass.Heater] = model = new(tube, new Volts(pass.Heater));
            SetUp(pass, unknowns);
            if (!pass.Sweep.Solve(model)) return false;
            if (!jacobian.IsEmpty)
            {
                pass.Sweep.Differentiate(model);
                Derivatives(pass, jacobian, row);
            }
            foreach (var channel in pass.Channels)
            {
                Compare(pass.Sweep, channel, unknowns, residuals.Slice(row, pass.Count));
                row += pass.Count;
            }
        }
        for (var k = 0; k < unknowns.Length; k++, row++) Prior(Coordinates + k, unknowns[k], 0, 1, row, residuals, jacobian);
        for (var k = 0; k < Coordinates; k++, row++) Prior(k, parameters[k], _centre[k], ConstantPriors.Width((TubeParameter)k), row, residuals, jacobian);
        return true;
    }

    private void Prior(int parameter, double value, double centre, double width, int row, Span<double> residuals, Span<double> jacobian)
    {
        residuals[row] = (value - centre) / width;
        if (!jacobian.IsEmpty) jacobian[parameter * ResidualCount + row] = 1 / width;
    }

    // Drive, rail and resistors as the unknowns of the measurement make them.
    private void SetUp(PassData pass, ReadOnlySpan<double> unknowns)
    {
        var sweep = pass.Sweep;
        var connection = pass.Run.Connection;
        pass.Drive.CopyTo(sweep.Drive, 0);
        pass.Rail.CopyTo(sweep.Rail, 0);
        (sweep.GridOhms, sweep.ScreenOhms, sweep.PlateOhms) = (connection.GridStopper.Value, connection.ScreenResistor.Value, connection.PlateResistor.Value);
        for (var k = 0; k < unknowns.Length; k++)
        {
            var nuisance = Nuisances[k];
            if (unknowns[k] == 0) continue;
            if (nuisance.Kind == NuisanceKind.Resistor)
            {
                var factor = Math.Max(0, 1 + nuisance.Slope * unknowns[k]);
                if (!IsOf(nuisance, pass)) continue;
                if (nuisance.Resistor == ResistorPlace.GridStopper) sweep.GridOhms *= factor;
                else if (nuisance.Resistor == ResistorPlace.Screen) sweep.ScreenOhms *= factor;
                else sweep.PlateOhms *= factor;
                continue;
            }
            for (var i = 0; i < pass.Count; i++)
            {
                sweep.Drive[i] += unknowns[k] * nuisance.At(VoltagePlace.Drive, pass.Drive[i]);
                sweep.Rail[i] = Math.Max(0, sweep.Rail[i] + unknowns[k] * nuisance.At(VoltagePlace.Supply, pass.Rail[i]));
            }
        }
    }

    private void Compare(FixtureSweep sweep, PassData.ChannelData channel, ReadOnlySpan<double> unknowns, Span<double> residuals)
    {
        var volts = channel.Place == VoltagePlace.Plate ? sweep.Plate : channel.Place == VoltagePlace.Grid ? sweep.Grid : sweep.Screen;
        var weight = 1 / channel.Scatter;
        for (var i = 0; i < residuals.Length; i++) residuals[i] = weight * (volts[i] - channel.Volts[i]);
        for (var k = 0; k < unknowns.Length; k++)
        {
            if (unknowns[k] == 0 || !Touches(Nuisances[k], channel.Place)) continue;
            for (var i = 0; i < residuals.Length; i++) residuals[i] -= weight * unknowns[k] * Nuisances[k].At(channel.Place, channel.Volts[i]);
        }
    }

    private void Derivatives(PassData pass, Span<double> jacobian, int row)
    {
        var sweep = pass.Sweep;
        var n = pass.Count;
        Span<double> grid = _grid.AsSpan(0, n), screen = _screen.AsSpan(0, n), plate = _plate.AsSpan(0, n);
        for (var k = 0; k < Coordinates; k++)
        {
            sweep.By((TubeParameter)k, grid, screen, plate);
            Put(pass, jacobian, k, row, grid, screen, plate);
        }
        for (var k = 0; k < Nuisances.Count; k++)
        {
            var nuisance = Nuisances[k];
            if (nuisance.Kind == NuisanceKind.Resistor)
            {
                if (!IsOf(nuisance, pass)) continue;
                if (nuisance.Resistor == ResistorPlace.GridStopper) sweep.ByGridOhms(grid, screen, plate);
                else if (nuisance.Resistor == ResistorPlace.Screen) sweep.ByScreenOhms(grid, screen, plate);
                else sweep.ByPlateOhms(grid, screen, plate);
                Scale(nuisance.Slope, grid, screen, plate);
                Put(pass, jacobian, Coordinates + k, row, grid, screen, plate);
                continue;
            }
            if (Touches(nuisance, VoltagePlace.Drive))
            {
                sweep.ByDrive(grid, screen, plate);
                Weigh(nuisance, VoltagePlace.Drive, pass.Drive, grid, screen, plate);
                Put(pass, jacobian, Coordinates + k, row, grid, screen, plate);
            }
            if (Touches(nuisance, VoltagePlace.Supply))
            {
                sweep.ByRail(grid, screen, plate);
                Weigh(nuisance, VoltagePlace.Supply, pass.Rail, grid, screen, plate);
                Put(pass, jacobian, Coordinates + k, row, grid, screen, plate);
            }
            for (var c = 0; c < pass.Channels.Count; c++)
            {
                var channel = pass.Channels[c];
                if (!Touches(nuisance, channel.Place)) continue;
                var column = jacobian.Slice((Coordinates + k) * ResidualCount + row + c * n, n);
                for (var i = 0; i < n; i++) column[i] -= nuisance.At(channel.Place, channel.Volts[i]) / channel.Scatter;
            }
        }
    }

    private void Put(PassData pass, Span<double> jacobian, int parameter, int row, ReadOnlySpan<double> grid, ReadOnlySpan<double> screen, ReadOnlySpan<double> plate)
    {
        for (var c = 0; c < pass.Channels.Count; c++)
        {
            var channel = pass.Channels[c];
            var from = channel.Place == VoltagePlace.Plate ? plate : channel.Place == VoltagePlace.Grid ? grid : screen;
            Vectors.Add(1 / channel.Scatter, from, jacobian.Slice(parameter * ResidualCount + row + c * pass.Count, pass.Count));
        }
    }

    private static void Weigh(Nuisance nuisance, VoltagePlace place, double[] volts, Span<double> grid, Span<double> screen, Span<double> plate)
    {
        for (var i = 0; i < volts.Length; i++)
        {
            var factor = nuisance.At(place, volts[i]);
            (grid[i], screen[i], plate[i]) = (factor * grid[i], factor * screen[i], factor * plate[i]);
        }
    }

    private static void Scale(double factor, Span<double> grid, Span<double> screen, Span<double> plate)
    {
        for (var i = 0; i < grid.Length; i++) (grid[i], screen[i], plate[i]) = (factor * grid[i], factor * screen[i], factor * plate[i]);
    }

    private static bool Touches(Nuisance nuisance, VoltagePlace place) =>
        nuisance.Kind == NuisanceKind.Meter || (nuisance.Kind == NuisanceKind.Line && nuisance.Place == place);

    // The same resistor is meant by all runs that state its value.
    private static bool IsOf(Nuisance nuisance, PassData pass) => pass.Run.Known.Resistors[(int)nuisance.Resistor].Ohms == nuisance.Ohms;
}
