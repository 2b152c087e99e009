using System.Numerics;
using System.Runtime.InteropServices;

namespace SweepRig.Analysis.Fitting;

/// <summary>Sums over columns, several elements side by side.</summary>
internal static class Vectors
{
    public static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        var wideA = MemoryMarshal.Cast<double, Vector<double>>(a);
        var wideB = MemoryMarshal.Cast<double, Vector<double>>(b);
        Vector<double> s0 = default, s1 = default;
        var k = 0;
        for (; k + 1 < wideA.Length; k += 2)
        {
            s0 += wideA[k] * wideB[k];
            s1 += wideA[k + 1] * wideB[k + 1];
        }
        if (k < wideA.Length) s0 += wideA[k] * wideB[k];
        var sum = Vector.Sum(s0 + s1);
        for (var i = wideA.Length * Vector<double>.Count; i < a.Length; i++) sum += a[i] * b[i];
        return sum;
    }

    /// <summary>y += factor x.</summary>
    public static void Add(double factor, ReadOnlySpan<double> x, Span<double> y)
    {
        var wideX = MemoryMarshal.Cast<double, Vector<double>>(x);
        var wideY = MemoryMarshal.Cast<double, Vector<double>>(y);
        var wide = new Vector<double>(factor);
        for (var k = 0; k < wideX.Length; k++) wideY[k] += wide * wideX[k];
        for (var i = wideX.Length * Vector<double>.Count; i < x.Length; i++) y[i] += factor * x[i];
    }

    /// <summary>Euclidean length, without overflow or underflow on the way.</summary>
    public static double Length(ReadOnlySpan<double> x)
    {
        var plain = Dot(x, x);
        if (plain is > 1e-280 and < 1e280) return Math.Sqrt(plain);
        double largest = 0;
        foreach (var value in x) largest = Math.Max(largest, Math.Abs(value));
        if (largest == 0 || !double.IsFinite(largest)) return largest;
        double sum = 0;
        foreach (var value in x) sum += value / largest * (value / largest);
        return largest * Math.Sqrt(sum);
    }

    public static bool AllFinite(ReadOnlySpan<double> x)
    {
        // 0 times a finite number is 0; times infinity or NaN it is NaN.
        double sum = 0;
        foreach (var value in x) sum += 0 * value;
        return sum == 0;
    }
}
