using SweepRig.Domain;
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
    /// <returns>Null when a point could not be solved, which no network of tubes and resistors is known to do.</returns>
    public static Transfer? Of(GateRails rails, StageValues values, TubePart tube, TubePart load, int fanOut, int points = UsualPoints) => Measure(rails, values, tube, load, fanOut, points)?.Curve;

    /// <summary>As <see cref="Of"/>, with what the stage takes at its worst on the way.</summary>
    public static (Transfer Curve, StageBurden Burden)? Measure(GateRails rails, StageValues values, TubePart tube, TubePart load, int fanOut, int points = UsualPoints)
    {
        ArgumentNullException.ThrowIfNull(rails);
        ArgumentNullException.ThrowIfNull(values);
        ArgumentNullException.ThrowIfNull(tube);
        ArgumentNullException.ThrowIfNull(load);
        ArgumentOutOfRangeException.ThrowIfLessThan(points, 5);
        var bench = new StageBench(rails, values, tube, fanOut, Newton.Exact);
        bench.Plug(tube.Model, load.Model);
        double[] inputs = [.. Enumerable.Range(0, points).Select(n => rails.Plate * n / (points - 1))], outputs = new double[points], slopes = new double[points];
        return bench.Sweep(inputs, outputs, slopes, out var burden) ? (Transfer.Through(inputs, outputs, slopes), burden) : null;
    }

    /// <summary>What stands for low and high in a network: the levels that a long chain of stages like its first restores.</summary>
    /// <returns>Refused when they restore none.</returns>
    internal static Outcome<ChainLevels> Levels(GateNetwork network, Func<string, TubePart> tube)
    {
        var first = tube(network.Positions[0]);
        if (Of(network.Rails, network.Gates.First(g => g.TubeCount > 0).Values, first, first, 1) is { } curve && ChainLevels.Of(curve, curve) is { Restores: true } levels) return Outcome<ChainLevels>.Accept(levels);
        return Outcome<ChainLevels>.Refuse(new Refusal(
            "levels-not-restored", "", $"a chain of stages like the first of {network.Name} comes to one level",
            "a stage must amplify more than the divider behind it loses", "Raise the plate resistor, lower the upper resistor of the divider, or take a tube with more current."));
    }
}
