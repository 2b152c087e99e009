namespace SweepRig.Logic.Margins;

/// <summary>
/// The largest square in each eye of the loop plot of two stages: the direct voltage that, put adversely in series with both inputs at once, just destroys the state.
/// </summary>
/// <param name="FirstLow">In the eye where the input of the first stage is low. Unit: V; 0 when there is no eye.</param>
/// <param name="FirstHigh">In the eye where it is high.</param>
/// <param name="LowCorner">Corner of the first square that is nearest to the origin: input of the first stage and of the second.</param>
/// <param name="HighCorner">The same of the other square.</param>
/// <remarks>
/// Seevinck, List, Lohstroh 1987, IEEE J. Solid-State Circuits 22, 748 (from memory); the equivalence with series noise: Lohstroh, Seevinck, de Groot 1983, ibid. 18, 803 (from
/// memory). Where a curve folds back its slope stays below 1, so that each corner has one square.
/// </remarks>
public sealed record SquareMargins(double FirstLow, double FirstHigh, (double X, double Y) LowCorner, (double X, double Y) HighCorner)
{
    private const int UsualLooks = 300, UsualHalvings = 60;

    /// <summary>The smaller of the two.</summary>
    public double Smaller => Math.Min(FirstLow, FirstHigh);

    /// <param name="first">Output of the first stage, which is the input of the second.</param>
    /// <param name="second">Output of the second stage, which is the input of the first.</param>
    /// <param name="levels">Of the chain of both.</param>
    public static SquareMargins Of(Transfer first, Transfer second, ChainLevels levels)
    {
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        ArgumentNullException.ThrowIfNull(levels);
        if (!levels.Restores) return new(0, 0, (levels.Low, levels.HighOfSecond), (levels.High, levels.LowOfSecond));
        // x = second(y) is the left border of the eye with x low and y high, y = first(x) its upper right one.
        var (low, yLow) = Largest(first, second, first.At(levels.Middle), levels.HighOfSecond, UsualLooks, UsualHalvings);
        // The other eye is the same with the stages exchanged.
        var (high, xHigh) = Largest(second, first, levels.Middle, levels.High, UsualLooks, UsualHalvings);
        return new(low, high, (At(second, yLow), yLow), (xHigh, At(first, xHigh)));
    }

    /// <summary>The largest square of one eye, its upper right corner on y = upper(x) and its lower left one on x = left(y).</summary>
    /// <param name="from">y where the eye begins.</param>
    /// <param name="to">y where it ends.</param>
    internal static (double Side, double Corner) Largest(Transfer upper, Transfer left, double from, double to, int looks, int halvings)
    {
        double side = 0, corner = to;
        for (var n = 0; n <= looks; n++)
        {
            var y = from + (to - from) * n / looks;
            if (Side(upper, left, y, halvings) is var s && s > side) (side, corner) = (s, y);
        }
        // Golden section about the best of the looks.
        var step = Math.Abs(to - from) / looks;
        double a = corner - step, b = corner + step;
        var ratio = 0.5 * (Math.Sqrt(5) - 1);
        for (var n = 0; n < halvings && b - a > 1e-9 * (1 + Math.Abs(corner)); n++)
        {
            double c = b - ratio * (b - a), d = a + ratio * (b - a);
            if (Side(upper, left, c, halvings) > Side(upper, left, d, halvings)) b = d;
            else a = c;
        }
        return Side(upper, left, 0.5 * (a + b), halvings) is var best && best > side ? (best, 0.5 * (a + b)) : (side, corner);
    }

    // Lower left corner on x = left(y); the upper right one, s further both ways, on y = upper(x).
    private static double Side(Transfer upper, Transfer left, double y, int halvings)
    {
        var x = At(left, y);
        if (At(upper, x) - y <= 0) return 0;
        double a = 0, b = Math.Max(1e-9, upper.High - x);
        if (At(upper, x + b) - y - b > 0) return b;
        for (var n = 0; n < halvings; n++)
        {
            var s = 0.5 * (a + b);
            if (At(upper, x + s) - y - s > 0) a = s;
            else b = s;
        }
        return 0.5 * (a + b);
    }

    private static double At(Transfer curve, double x) => curve.At(Math.Clamp(x, curve.Low, curve.High));
}
