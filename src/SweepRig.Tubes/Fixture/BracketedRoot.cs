namespace SweepRig.Tubes.Fixture;

/// <summary>A function of one variable without allocation or boxing.</summary>
internal interface IScalarFunction
{
    double At(double x);
}

/// <summary>Root of a continuous function by a bracket that is widened until it holds a sign change and then narrowed.</summary>
/// <remarks>
/// Regula falsi with halving of the retained end (Dowell and Jarratt 1971, BIT 11, 168, from memory), and a bisection whenever three steps have
/// not halved the bracket, so that the work is bounded whatever the function.
/// </remarks>
internal static class BracketedRoot
{
    private const int MostWidenings = 40;
    private const int MostSteps = 200;

    /// <param name="function">Negative at the far left, positive at the far right.</param>
    /// <param name="low">First guess of a point left of the root.</param>
    /// <param name="high">First guess of a point right of the root, above <paramref name="low"/>.</param>
    /// <param name="root">The root, to within rounding of the bracket.</param>
    public static bool TryFind<T>(ref T function, double low, double high, out double root)
        where T : struct, IScalarFunction
    {
        var atLow = function.At(low);
        for (int n = 0; atLow > 0; n++)
        {
            root = low;
            if (n == MostWidenings) return false;
            (high, low) = (low, low - 2 * (high - low));
            atLow = function.At(low);
        }
        var atHigh = function.At(high);
        for (int n = 0; atHigh < 0; n++)
        {
            root = high;
            if (n == MostWidenings) return false;
            (low, atLow, high) = (high, atHigh, high + 2 * (high - low));
            atHigh = function.At(high);
        }
        return Narrow(ref function, low, atLow, high, atHigh, out root);
    }

    private static bool Narrow<T>(ref T function, double low, double atLow, double high, double atHigh, out double root)
        where T : struct, IScalarFunction
    {
        var lastSide = 0;
        var checkpoint = high - low;
        for (var step = 1; step <= MostSteps; step++)
        {
            root = 0.5 * (low + high);
            if (high - low <= 4e-16 * Math.Max(Math.Abs(low), Math.Abs(high)) + 1e-18) return true;
            var slow = step % 3 == 0 && high - low > 0.5 * checkpoint;
            if (step % 3 == 0) checkpoint = high - low;
            var secant = (low * atHigh - high * atLow) / (atHigh - atLow);
            if (!slow && secant > low && secant < high) root = secant;
            var value = function.At(root);
            if (value == 0) return true;
            if (double.IsNaN(value)) return false;
            if (value < 0)
            {
                (low, atLow) = (root, value);
                if (lastSide < 0) atHigh *= 0.5;
                lastSide = -1;
            }
            else
            {
                (high, atHigh) = (root, value);
                if (lastSide > 0) atLow *= 0.5;
                lastSide = 1;
            }
        }
        root = 0.5 * (low + high);
        return high - low < 1e-9;
    }
}
