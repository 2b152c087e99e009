using SweepRig.Analysis.Models;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Service.Contract;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Logic;

/// <summary>What was found of a network, as REST and command line give it.</summary>
public static class NetworkViewMaker
{
    public static NetworkStatesView Of(Network network, CircuitValues values, NetworkStates states)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(values);
        ArgumentNullException.ThrowIfNull(states);
        NetworkStateView[] views = [.. states.All.Select(s => Of(network, values, s))];
        var remarks = new List<string>();
        if (states.All.Count == 0) remarks.Add("No balance was found. Check the values; a network of tubes and resistors has at least one.");
        else if (states.Stable.Count == 0) remarks.Add("No state is stable: the network cannot rest and will oscillate.");
        if (states.All.Count > 0 && !states.AddsUp) remarks.Add($"The states found do not add up (sum of signs {states.SignSum}, not 1): at least one is missing.");
        foreach (var tube in views.Where(v => v.Stable).SelectMany(v => v.Tubes).Where(t => t.OutsideRange is not null).DistinctBy(t => t.Name))
            remarks.Add($"{tube.Name} ({tube.Number}): {tube.OutsideRange}; figures that lean on it are extrapolated.");
        foreach (var tube in network.Tubes.Where(t => t.Curve is not null))
            remarks.Add($"{tube.Name} ({tube.Number}) is taken as run {tube.Curve!.RunId} has it, not by a model; what its screen draws is not in the figures.");
        return new(network.Name, views, states.AddsUp, [.. remarks]);
    }

    private static NetworkStateView Of(Network network, CircuitValues values, NetworkState state)
    {
        var point = state.Point;
        TubeStateView[] tubes = [.. network.Tubes.Select((t, at) => Of(t, point, point.Tubes[at]))];
        SourceStateView[] sources =
        [
            .. network.Parts.OfType<Source>().Select((s, at) =>
                new SourceStateView(s.Name, values.Sources[at].At(0), point.SourceAmps[at], values.Sources[at].At(0) * point.SourceAmps[at])),
        ];
        return new(state.IsStable, state.SlowestSeconds, [.. network.Nodes.Select(n => new NodeVoltageView(n, point.At(n)))], tubes, sources, point.SourceWatts(values));
    }

    private static TubeStateView Of(TubePart tube, OperatingPoint point, TubeCurrents i)
    {
        var k = point.At(tube.Cathode);
        double grid = point.At(tube.Grid) - k, screen = point.At(tube.Screen) - k, plate = point.At(tube.Plate) - k;
        return new(tube.Name, tube.Number, grid, screen, plate, i.Grid, i.Screen, i.Plate, i.Grid + i.Screen + i.Plate, plate * i.Plate, screen * i.Screen, Outside(tube, grid, plate, i));
    }

    private static string? Outside(TubePart tube, double grid, double plate, TubeCurrents i) => tube.Curve is { } curve ? curve.Outside(grid) : Outside(tube.Range, plate, i.Grid + i.Screen + i.Plate);

    /// <summary>Why a model is asked outside of where its sweeps have shown it to hold; null when it is not, or when nobody can tell.</summary>
    /// <param name="plate">Plate against cathode. Unit: V.</param>
    /// <param name="cathode">Cathode current. Unit: A.</param>
    public static string? Outside(ValidRange? range, double plate, double cathode)
    {
        if (range is null) return null;
        if (plate < range.LowestPlate - 0.5) return $"its plate is at {Engineering.Format(plate, "V", 3)}, and its sweeps went down to {Engineering.Format(range.LowestPlate, "V", 3)}";
        return cathode > 1.1 * range.HighestCathodeAmps ? $"its cathode gives {Engineering.Format(cathode, "A", 3)}, and its sweeps went up to {Engineering.Format(range.HighestCathodeAmps, "A", 3)}" : null;
    }
}
