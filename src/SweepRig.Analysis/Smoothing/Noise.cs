namespace SweepRig.Analysis.Smoothing;

/// <summary>
/// Standard deviation of single readings from the readings themselves: what a cubic through five neighbours leaves. The median over the
/// curve does not mind knees; where a stretch is plainly noisier or quieter than the whole, its own median counts.
/// </summary>
internal static class Noise
{
    private const int WidestHalf = 8;

    /// <summary>Points of a stretch that has a median of its own.</summary>
    private const int Stretch = 32;

    /// <returns>One value a point, in the unit of the trace, 0 when it cannot be told or there is none; and that of the whole trace.</returns>
    public static (double[] Scatter, double Typical) Of(Trace trace)
    {
        var variances = new double[trace.Count];
        for (var i = 0; i < trace.Count; i++) variances[i] = Around(trace, i);
        var sorted = new double[trace.Count];
        var whole = Median(variances, sorted);
        var scatter = new double[trace.Count];
        for (var start = 0; start < trace.Count; start += Stretch)
        {
            // Median of a stretch and half of each neighbour.
            var local = Median(variances.AsSpan(Math.Max(0, start - Stretch / 2)..Math.Min(trace.Count, start + 3 * Stretch / 2)), sorted);
            // Some sixty overlapping windows tell a variance to within a factor of about two.
            var variance = local > 3 * whole || local < 0.33 * whole ? local : whole;
            Array.Fill(scatter, Math.Sqrt(variance), start, Math.Min(Stretch, trace.Count - start));
        }
        return (scatter, Math.Sqrt(whole));
    }

    /// <summary>Variance from the narrowest window around a point that leaves a free reading; NaN where there is none.</summary>
    private static double Around(Trace trace, int i)
    {
        var (first, last) = trace.Segment(i);
        for (var half = 2; half <= WidestHalf && i - half >= first && i + half <= last; half++)
        {
            if (LocalPolynomial.Fit(trace, i - half, i + half, trace.X[i], 3) is not { FreeReadings: >= 1 } fit) continue;
            // Median of chi-square over its degrees of freedom; 0.4549 at 1, else by Wilson and Hilferty 1931.
            var free = (double)fit.FreeReadings;
            return fit.ResidualSquares / (free == 1 ? 0.4549 : free * Math.Pow(1 - 2 / (9 * free), 3));
        }
        return double.NaN;
    }

    private static double Median(ReadOnlySpan<double> values, double[] sorted)
    {
        var count = 0;
        foreach (var value in values)
        {
            if (!double.IsNaN(value)) sorted[count++] = value;
        }
        if (count == 0) return 0;
        Array.Sort(sorted, 0, count);
        var half = count / 2;
        return count % 2 == 1 ? sorted[half] : 0.5 * (sorted[half - 1] + sorted[half]);
    }
}
