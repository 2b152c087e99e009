namespace SweepRig.Logic.Margins;

/// <summary>The lowest and the highest output of several stages at each input: what a signal can be counted on for, whatever stage it comes from.</summary>
/// <remarks>
/// The eye of the loop plot between the two lies inside that of any two of the stages, so that its square is a margin that none of them goes below. Of one stage alone both are its curve.
/// </remarks>
/// <param name="Lowest">The lowest output.</param>
/// <param name="Highest">The highest.</param>
public sealed record TransferEnvelope(Transfer Lowest, Transfer Highest)
{
    /// <param name="curves">One or more, all over the same range of inputs.</param>
    /// <param name="points">Places at which they are compared, 5 or more.</param>
    /// <exception cref="ArgumentException">No curve.</exception>
    public static TransferEnvelope Of(IReadOnlyList<Transfer> curves, int points)
    {
        ArgumentNullException.ThrowIfNull(curves);
        ArgumentOutOfRangeException.ThrowIfLessThan(points, 5);
        if (curves.Count == 0) throw new ArgumentException("An envelope needs a curve.", nameof(curves));
        if (curves.Count == 1) return new(curves[0], curves[0]);
        var (low, high) = (curves[0].Low, curves[0].High);
        double[] inputs = [.. Enumerable.Range(0, points).Select(n => n == points - 1 ? high : low + (high - low) * n / (points - 1))];
        Transfer[] lowest = [.. inputs.Select(x => curves.MinBy(c => c.At(x))!)], highest = [.. inputs.Select(x => curves.MaxBy(c => c.At(x))!)];
        return new(Through(lowest), Through(highest));

        Transfer Through(Transfer[] at) => Transfer.Through(inputs, [.. inputs.Select((x, n) => at[n].At(x))], [.. inputs.Select((x, n) => at[n].Slope(x))]);
    }

    /// <summary>Levels that any of the stages restores for any other: the highest low and the lowest high.</summary>
    public ChainLevels Levels { get; } = ChainLevels.Of(Lowest, Highest);

    /// <summary>The square that no two of the stages go below, and its lower left corner; of no side when the levels are not restored.</summary>
    public (double Side, double X, double Y) Square()
    {
        var squares = SquareMargins.Of(Lowest, Highest, Levels);
        return (squares.FirstLow, squares.LowCorner.X, squares.LowCorner.Y);
    }
}
