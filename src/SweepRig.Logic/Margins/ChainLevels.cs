namespace SweepRig.Logic.Margins;

/// <summary>Where a long chain of two kinds of stage in turn settles: the levels that the logic restores by itself.</summary>
/// <param name="Low">Input of the first stage when it is low. Unit: V.</param>
/// <param name="High">Input of the first stage when it is high.</param>
/// <param name="Middle">Input between them at which the chain stands on its edge; NaN when it does not restore.</param>
/// <param name="LowOfSecond">Input of the second stage, which is the output of the first, when it is low.</param>
/// <param name="HighOfSecond">The same when it is high.</param>
/// <param name="LoopGain">Of both stages at the middle; above 1 when the chain restores.</param>
public sealed record ChainLevels(double Low, double High, double Middle, double LowOfSecond, double HighOfSecond, double LoopGain)
{
    private const int MostTurns = 20_000, UsualLooks = 400;
    private const double Settled = 1e-10;

    /// <summary>True when there are two levels apart, so that a disturbed signal gets better from stage to stage.</summary>
    public bool Restores => High - Low > 1e-3;

    /// <summary>Iterates the two stages from both ends (infinite chain; Hill 1968, Microelectronics 1, 16, from memory).</summary>
    public static ChainLevels Of(Transfer first, Transfer second) => Of(first, second, UsualLooks);

    /// <param name="looks">Places between the levels at which the edge is looked for.</param>
    internal static ChainLevels Of(Transfer first, Transfer second, int looks)
    {
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        double Both(double x) => second.At(Math.Clamp(first.At(Math.Clamp(x, first.Low, first.High)), second.Low, second.High));
        double low = Settle(Both, first.Low), high = Settle(Both, first.High);
        if (high - low < 1e-3) return new(low, high, double.NaN, first.At(Math.Clamp(high, first.Low, first.High)), first.At(Math.Clamp(low, first.Low, first.High)), Gain(first, second, low));
        var middle = Edge(Both, low, high, looks);
        return new(low, high, middle, first.At(high), first.At(low), Gain(first, second, middle));
    }

    private static double Settle(Func<double, double> both, double x)
    {
        for (var n = 0; n < MostTurns; n++)
        {
            var next = both(x);
            if (Math.Abs(next - x) < Settled) return next;
            x = next;
        }
        return x;
    }

    // Just inside the low level the chain pulls down, just inside the high one up; between them the sign of both(x) - x changes.
    private static double Edge(Func<double, double> both, double low, double high, int looks)
    {
        double a = low, b = high;
        for (var n = 1; n < looks; n++)
        {
            var x = low + (high - low) * n / looks;
            if (both(x) - x <= 0) a = x;
            else
            {
                b = x;
                break;
            }
        }
        for (var n = 0; n < 60; n++)
        {
            var x = 0.5 * (a + b);
            if (both(x) - x <= 0) a = x;
            else b = x;
        }
        return 0.5 * (a + b);
    }

    private static double Gain(Transfer first, Transfer second, double x)
    {
        x = Math.Clamp(x, first.Low, first.High);
        return first.Slope(x) * second.Slope(Math.Clamp(first.At(x), second.Low, second.High));
    }
}
