using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Gates;

/// <summary>The transfer curve of a stage through its own coupling, with what it feeds connected.</summary>
public static class StageTransfer
{
    /// <summary>Points of a curve that serve for margins within a millivolt or two; the levels themselves are better.</summary>
    public const int UsualPoints = 141;

    /// <param name="tube">In the stage.</param>
    /// <param name="load">In each of the stages that it feeds.</param>
    /// <param name="fanOut">How many it feeds; 0 for none.</param>
    /// <param name="points">At least 5, spread evenly from 0 V to the rail.</param>
    /// <param name="shape">Of all stages; inverters when null.</param>
    /// <returns>Null when a point could not be solved, which no network of tubes and resistors is known to do.</returns>
    public static Transfer? Of(GateRails rails, StageValues values, TubePart tube, TubePart load, int fanOut, int points = UsualPoints, StageShape? shape = null) =>
        Measure(rails, values, tube, load, fanOut, points, shape)?.Curve;

    /// <summary>As <see cref="Of"/>, with what the stage takes at its worst on the way.</summary>
    public static (Transfer Curve, StageBurden Burden)? Measure(GateRails rails, StageValues values, TubePart tube, TubePart load, int fanOut, int points = UsualPoints, StageShape? shape = null)
    {
        ArgumentNullException.ThrowIfNull(rails);
        ArgumentNullException.ThrowIfNull(values);
        ArgumentNullException.ThrowIfNull(tube);
        ArgumentNullException.ThrowIfNull(load);
        ArgumentOutOfRangeException.ThrowIfLessThan(points, 5);
        var bench = new StageBench(rails, values, tube, fanOut, Newton.Exact, shape ?? StageShape.Inverter);
        bench.Plug(tube.Model, load.Model);
        double[] inputs = [.. Enumerable.Range(0, points).Select(n => rails.Plate * n / (points - 1))], outputs = new double[points], slopes = new double[points];
        return bench.Sweep(inputs, outputs, slopes, out var burden) ? (Transfer.Through(inputs, outputs, slopes), burden) : null;
    }

    /// <summary>What stands for low and high in a network: the levels that a long chain of stages like its first restores.</summary>
    /// <returns>Refused when they restore none.</returns>
    internal static Outcome<ChainLevels> Levels(GateNetwork network, Func<string, TubePart> tube)
    {
        var (first, gate) = (tube(network.Positions[0]), network.Gates[0]);
        var shape = StageShape.Of(gate);
        if (Of(network.Rails, gate.Values, first, first, 1, shape: shape) is { } curve && ChainLevels.Of(curve, curve) is { Restores: true } levels) return Outcome<ChainLevels>.Accept(levels);
        return Outcome<ChainLevels>.Refuse(new Refusal(
            "levels-not-restored", "", $"a chain of stages like the first of {network.Name} comes to one level",
            shape != StageShape.Inverter ? "one input must turn the tube on and off while the others rest" : "a stage must amplify more than the divider behind it loses", Remedy(gate.Kind, gate.Values.IsTriode)));
    }

    /// <summary>What to change where stages of a kind restore no levels.</summary>
    public static string Remedy(GateKind kind, bool isTriode)
    {
        var usual = Engineering.Format(StageValues.UsualOf(kind, isTriode).LowerOhms, "Ω", 3);
        return kind switch
        {
            GateKind.NorAtGrid => $"Choose the lower resistor of the divider so that the grid is cut off with all inputs low and driven on by one of two: {usual} does on rails of 28 V and -14 V.",
            GateKind.NandAtGrid => $"Lower the lower resistor of the divider until one high input alone leaves the grid cut off: {usual} does on rails of 28 V and -14 V.",
            _ => "Raise the plate resistor, lower the upper resistor of the divider, or take a tube with more current.",
        };
    }
}
