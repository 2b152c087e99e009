using System.Numerics;
using System.Runtime.CompilerServices;

namespace SweepRig.Tubes.Model;

/// <summary>The two smooth building blocks of the model with their derivatives, several points side by side.</summary>
/// <remarks>
/// S(x, w) = (x + |x|)/2 + w ln(1 + exp(-min(|x|/w, 80))) is max(x, 0) rounded over the width w; it is never exactly 0 and never overflows.
/// M(a, b, n) = a (1 + (a/b)^n)^(-1/n) is min(a, b) rounded with sharpness n.
/// Both are constructions chosen for their limits, not taken from a publication.
/// </remarks>
internal static class SmoothFunctions
{
    private const double Floor = 80;

    // exp(-40) is below the rounding of 1: from there on S is x to the last bit, and its slope 1.
    private const double Straight = 40;

    /// <summary>S(x, w) for w above 0.</summary>
    /// <param name="slope">dS/dx.</param>
    /// <param name="widthSlope">dS/dw.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector<double> Positive(Vector<double> x, Vector<double> w, out Vector<double> slope, out Vector<double> widthSlope)
    {
        var z = Vector.Abs(x) / w;
        var u = Vector.Exp(-Vector.Min(z, new(Floor)));
        var onePlus = Vector<double>.One + u;
        var fraction = u / onePlus;
        var log = LogOnePlus(u, onePlus);
        slope = Vector.ConditionalSelect(Vector.GreaterThanOrEqual(x, Vector<double>.Zero), Vector<double>.One - fraction, fraction);
        widthSlope = log + fraction * z;
        return Vector.Max(x, Vector<double>.Zero) + w * log;
    }

    /// <summary>The same without the derivative by the width: quicker where all lanes are far above 0, as screens and idle plates are.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector<double> Positive(Vector<double> x, Vector<double> w, out Vector<double> slope)
    {
        if (!Vector.GreaterThanAll(x, w * Straight)) return Positive(x, w, out slope, out _);
        slope = Vector<double>.One;
        return x;
    }

    /// <summary>M(a, b, n) for a and b above 0.</summary>
    /// <param name="slopeA">dM/da.</param>
    /// <param name="slopeB">dM/db.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector<double> Smaller(Vector<double> a, Vector<double> b, double n, out Vector<double> slopeA, out Vector<double> slopeB)
    {
        if (n != 2) return SmallerGeneral(a, b, n, out slopeA, out slopeB);
        var ratio = a / b;
        var square = Vector<double>.One / (Vector<double>.One + ratio * ratio);
        var root = Vector.SquareRoot(square);
        slopeA = square * root;
        // (M/b)^3; multiplied in this order nothing overflows before a/b passes 1e150.
        var part = ratio * root;
        slopeB = part * part * part;
        return a * root;
    }

    /// <summary>x^n for x of 0 or above.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector<double> Power(Vector<double> x, double n) => Vector.Exp(Vector.Log(x) * n);

    /// <summary>x^n for x of 0 or above, an exponent in each lane.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector<double> Power(Vector<double> x, Vector<double> n) => Vector.Exp(Vector.Log(x) * n);

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static Vector<double> SmallerGeneral(Vector<double> a, Vector<double> b, double n, out Vector<double> slopeA, out Vector<double> slopeB)
    {
        // M is symmetric; raising the ratio that is at most 1 keeps the power from overflowing.
        var aIsLess = Vector.LessThan(a, b);
        var less = Vector.Min(a, b);
        var ratio = less / Vector.Max(a, b);
        var factor = Power(Vector<double>.One + Power(ratio, n), -1 / n);
        var slopeLess = Power(factor, n + 1);
        var slopeMore = Power(ratio * factor, n + 1);
        slopeA = Vector.ConditionalSelect(aIsLess, slopeLess, slopeMore);
        slopeB = Vector.ConditionalSelect(aIsLess, slopeMore, slopeLess);
        return less * factor;
    }

    // ln(1 + u) with full relative accuracy for small u: the rounding of 1 + u is divided out again (Kahan's correction, from memory).
    // A plain Log(1 + u) returns 0 below 1e-16, which would make the division of currents 0/0 far below cut-off.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<double> LogOnePlus(Vector<double> u, Vector<double> onePlus)
    {
        var seen = onePlus - Vector<double>.One;
        var corrected = Vector.Log(onePlus) * u / seen;
        return Vector.ConditionalSelect(Vector.Equals(seen, Vector<double>.Zero), u, corrected);
    }
}
