using SweepRig.Logic.Margins;

namespace SweepRig.Logic.Search;

/// <summary>The margin that every stage has, whatever tubes of a lot stand in it and around it.</summary>
/// <remarks>
/// Of all tubes the highest and the lowest output at each input is taken: the eye between those two envelopes lies inside the eye of any two tubes of the lot, so that its square
/// is a margin that none of them goes below. With more tubes it can only get smaller, which is what a search may count on.
/// </remarks>
internal sealed class LotMargin
{
    private const int Looks = 40, Halvings = 36;

    private readonly double[] _inputs, _low, _high, _lowSlopes, _highSlopes;

    public LotMargin(double[] inputs)
    {
        _inputs = inputs;
        (_low, _high) = (new double[inputs.Length], new double[inputs.Length]);
        (_lowSlopes, _highSlopes) = (new double[inputs.Length], new double[inputs.Length]);
        Clear();
    }

    public void Clear()
    {
        Array.Fill(_low, double.PositiveInfinity);
        Array.Fill(_high, double.NegativeInfinity);
    }

    public void Add(ReadOnlySpan<double> outputs, ReadOnlySpan<double> slopes)
    {
        for (var n = 0; n < _inputs.Length; n++)
        {
            if (outputs[n] < _low[n]) (_low[n], _lowSlopes[n]) = (outputs[n], slopes[n]);
            if (outputs[n] > _high[n]) (_high[n], _highSlopes[n]) = (outputs[n], slopes[n]);
        }
    }

    /// <summary>Margin, and the worst levels: the highest low and the lowest high. Unit: V; 0 when the lot restores none.</summary>
    public (double Margin, double Low, double High) Measure()
    {
        Transfer lowest = Transfer.Through(_inputs, _low, _lowSlopes), highest = Transfer.Through(_inputs, _high, _highSlopes);
        // The eye with x low: y = lowest(x) closes it from above, x = highest(y) from the left; the other eye is its mirror image.
        var levels = ChainLevels.Of(lowest, highest, Looks);
        if (!levels.Restores) return (0, levels.Low, levels.HighOfSecond);
        var (side, _) = SquareMargins.Largest(lowest, highest, lowest.At(levels.Middle), levels.HighOfSecond, Looks, Halvings);
        return (side, levels.Low, levels.HighOfSecond);
    }
}
