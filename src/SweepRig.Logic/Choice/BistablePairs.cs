using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Choice;

/// <summary>Two tubes behind each other.</summary>
/// <param name="First">Place of one in the list.</param>
/// <param name="Second">Place of the other.</param>
/// <param name="MarginVolts">The smaller of the two largest squares of their loop; 0 when they are no bistable. Unit: V.</param>
/// <param name="Low">Lower of the levels at the first's input.</param>
/// <param name="High">Higher of them.</param>
public sealed record BistablePair(int First, int Second, double MarginVolts, double Low, double High);

/// <summary>Which two tubes of a list make the best bistable.</summary>
public static class BistablePairs
{
    /// <param name="fanOut">Stages that each of the two feeds, the other of the two among them; 1 or more.</param>
    /// <param name="shape">Of both stages; inverters when null.</param>
    /// <returns>Every pair, the best first.</returns>
    /// <exception cref="ArgumentException">Fewer than two tubes.</exception>
    public static IReadOnlyList<BistablePair> Of(GateRails rails, StageValues values, IReadOnlyList<TubePart> tubes, int fanOut = 1, StageShape? shape = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(tubes);
        if (tubes.Count < 2) throw new ArgumentException($"Given are {tubes.Count} tubes; a bistable takes two.", nameof(tubes));
        // What loads a stage is taken to be a tube like its own: a grid that draws no current loads alike whatever its tube.
        var curves = new Transfer?[tubes.Count];
        Parallel.For(0, tubes.Count, new ParallelOptions { CancellationToken = cancel }, t => curves[t] = StageTransfer.Of(rails, values, tubes[t], tubes[t], fanOut, shape: shape));
        var pairs = new BistablePair[tubes.Count][];
        Parallel.For(0, tubes.Count, new ParallelOptions { CancellationToken = cancel }, first =>
            pairs[first] = [.. Enumerable.Range(first + 1, tubes.Count - first - 1).Select(second => Pair(first, second, curves[first], curves[second]))]);
        return [.. pairs.SelectMany(p => p).OrderByDescending(p => p.MarginVolts).ThenBy(p => p.First).ThenBy(p => p.Second)];
    }

    private static BistablePair Pair(int first, int second, Transfer? a, Transfer? b)
    {
        if (a is null || b is null) return new(first, second, 0, double.NaN, double.NaN);
        var levels = ChainLevels.Of(a, b);
        return new(first, second, SquareMargins.Of(a, b, levels).Smaller, levels.Low, levels.High);
    }
}
