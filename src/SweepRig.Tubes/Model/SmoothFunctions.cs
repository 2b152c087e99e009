using System.Runtime.CompilerServices;

namespace SweepRig.Tubes.Model;

/// <summary>The two smooth building blocks of the model, with their derivatives.</summary>
/// <remarks>
/// S(x, w) = (x + |x|)/2 + w ln(1 + exp(-min(|x|/w, 80))) is max(x, 0) rounded over the width w; it is never exactly 0 and never overflows.
/// M(a, b, n) = a (1 + (a/b)^n)^(-1/n) is min(a, b) rounded with sharpness n.
/// Both are constructions chosen for their limits, not taken from a publication.
/// </remarks>
internal static class SmoothFunctions
{
    // exp(-38) = 3.1e-17 is below half a unit in the last place of 1, and x is then above 38 w: adding it changes nothing.
    private const double Negligible = 38;

    private const double Floor = 80;

    /// <summary>S(x, w) for w above 0.</summary>
    /// <param name="slope">dS/dx.</param>
    /// <param name="widthSlope">dS/dw.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Positive(double x, double w, out double slope, out double widthSlope)
    {
        var z = Math.Abs(x) / w;
        if (x > 0 && z > Negligible)
        {
            slope = 1;
            widthSlope = 0;
            return x;
        }
        var u = Math.Exp(-Math.Min(z, Floor));
        var fraction = u / (1 + u);
        var log = LogOnePlus(u);
        slope = x >= 0 ? 1 - fraction : fraction;
        widthSlope = log + fraction * z;
        return (x > 0 ? x : 0) + w * log;
    }

    /// <summary>M(a, b, n) for a and b above 0.</summary>
    /// <param name="slopeA">dM/da.</param>
    /// <param name="slopeB">dM/db.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static double Smaller(double a, double b, double n, out double slopeA, out double slopeB)
    {
        if (n != 2) return SmallerGeneral(a, b, n, out slopeA, out slopeB);
        var ratio = a / b;
        var square = 1 / (1 + ratio * ratio);
        var root = Math.Sqrt(square);
        slopeA = square * root;
        // (M/b)^3; multiplied in this order nothing overflows before a/b passes 1e150.
        var part = ratio * root;
        slopeB = part * part * part;
        return a * root;
    }

    private static double SmallerGeneral(double a, double b, double n, out double slopeA, out double slopeB)
    {
        // M is symmetric; raising the ratio that is at most 1 keeps the power from overflowing.
        if (a > b) return SmallerGeneral(b, a, n, out slopeB, out slopeA);
        var ratio = a / b;
        var factor = Math.Pow(1 + Math.Pow(ratio, n), -1 / n);
        slopeA = Math.Pow(factor, n + 1);
        slopeB = Math.Pow(ratio * factor, n + 1);
        return a * factor;
    }

    // ln(1 + u) with full relative accuracy for small u: the rounding of 1 + u is divided out again (Kahan's correction, from memory).
    // double.LogP1 is a plain Log(1 + u) and returns 0 below 1e-16, which would make the division of currents 0/0 far below cut-off.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double LogOnePlus(double u)
    {
        var y = 1 + u;
        return y == 1 ? u : Math.Log(y) * u / (y - 1);
    }
}
