namespace SweepRig.Analysis.Smoothing;

/// <summary>
/// Standard deviation of single readings from the readings themselves: what a cubic through five neighbours leaves. The median over the
/// curve does not mind knees; where a stretch is plainly noisier or quieter than the whole, its own median counts.
/// </summary>
internal static class Noise
{
    private const int WidestHalf = 8;

    /// <returns>
    /// One value a point, in the unit of the trace, 0 when it cannot be told or there is none: <c>Scatter</c> as seen; <c>Assumed</c> at least what one
    /// step of resolution leaves, for deciding whether a fit is good enough. <c>Typical</c> is that of the whole trace.
    /// </returns>
    public static (double[] Assumed, double[] Scatter, double Typical) Of(Trace trace)
    {
        var variances = new double[trace.Count];
        for (var i = 0; i < trace.Count; i++) variances[i] = Around(trace, i);

        var resolution = Resolution(trace);
        // One step, rectangular: GUM F.2.2.1. The smallest step of a steep curve is not its resolution, which is part of the stated uncertainty.
        var stated = trace.Stated.DefaultIfEmpty(0).Min();
        var floor = Math.Min(resolution * resolution / 12, stated * stated);
        var whole = Median(variances);
        var near = Math.Max(16, trace.Count / 10);
        var assumed = new double[trace.Count];
        var scatter = new double[trace.Count];
        for (var i = 0; i < scatter.Length; i++)
        {
            var local = Median(variances.AsSpan(Math.Max(0, i - near)..Math.Min(variances.Length, i + near + 1)));
            // Some thirty overlapping windows tell a variance to within a factor of about two.
            var variance = local > 3 * whole || local < 0.33 * whole ? local : whole;
            scatter[i] = Math.Sqrt(variance);
            assumed[i] = Math.Sqrt(Math.Max(variance, floor));
        }
        return (assumed, scatter, Math.Sqrt(Math.Max(whole, floor)));
    }

    /// <summary>Variance from the narrowest window around a point that leaves a free reading; NaN where there is none.</summary>
    private static double Around(Trace trace, int i)
    {
        var (first, last) = trace.Segment(i);
        for (var half = 2; half <= WidestHalf && i - half >= first && i + half <= last; half++)
        {
            if (LocalPolynomial.Fit(trace, i - half, i + half, trace.X[i], 3) is not { FreeReadings: >= 1 } fit) continue;
            // Median of chi-square over its degrees of freedom, Wilson and Hilferty 1931; within 4 % at 1 degree.
            var free = (double)fit.FreeReadings;
            return fit.ResidualSquares / (free * Math.Pow(1 - 2 / (9 * free), 3));
        }
        return double.NaN;
    }

    /// <summary>Smallest step between two different readings.</summary>
    private static double Resolution(Trace trace)
    {
        var sorted = (double[])trace.Y.Clone();
        Array.Sort(sorted);
        var least = double.PositiveInfinity;
        for (var i = 1; i < sorted.Length; i++)
        {
            // Codes turned into volts differ by rounding when they are the same code.
            var step = sorted[i] - sorted[i - 1];
            if (step > 1e-12 * Math.Abs(sorted[i]) && step < least) least = step;
        }
        return double.IsFinite(least) ? least : 0;
    }

    private static double Median(ReadOnlySpan<double> values)
    {
        var finite = new double[values.Length];
        var count = 0;
        foreach (var value in values)
        {
            if (!double.IsNaN(value)) finite[count++] = value;
        }
        if (count == 0) return 0;
        Array.Sort(finite, 0, count);
        var half = count / 2;
        return count % 2 == 1 ? finite[half] : 0.5 * (finite[half - 1] + finite[half]);
    }
}
