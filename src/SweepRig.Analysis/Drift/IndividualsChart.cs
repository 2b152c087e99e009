namespace SweepRig.Analysis.Drift;

/// <summary>Control chart of single values, with the moving ranges of neighbours (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2).</summary>
/// <param name="Centre">Mean of the values.</param>
/// <param name="Lower">Lower control limit of the values.</param>
/// <param name="Upper">Upper control limit.</param>
/// <param name="MeanRange">Mean of the moving ranges.</param>
/// <param name="UpperRange">Upper control limit of the ranges; the lower is 0.</param>
/// <param name="Outside">Values outside their limits, by place.</param>
/// <param name="RangesOutside">Ranges above their limit, by the place of their later value.</param>
public sealed record IndividualsChart(
    double Centre, double Lower, double Upper, double MeanRange, double UpperRange, IReadOnlyList<int> Outside, IReadOnlyList<int> RangesOutside)
{
    // Expected range of two values from a normal distribution, in standard deviations (d2), and 1 + 3 d3/d2 (D4).
    private const double D2 = 1.128, D4 = 3.267;

    /// <param name="values">In the order measured, 2 or more.</param>
    /// <param name="baseline">The limits are made from so many of the first, 2 or more; null for all.</param>
    /// <exception cref="ArgumentException">Fewer than 2 values, or one that is not finite; a baseline of fewer than 2, or of more than there are.</exception>
    public static IndividualsChart Of(IReadOnlyList<double> values, int? baseline = null)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (values.Count < 2) throw new ArgumentException($"There are {values.Count} values; a control chart needs 2 or more.", nameof(values));
        if (values.Any(v => !double.IsFinite(v))) throw new ArgumentException("A value is not finite; leave it out.", nameof(values));
        var ranges = Enumerable.Range(1, values.Count - 1).Select(i => Math.Abs(values[i] - values[i - 1])).ToArray();
        if (baseline < 2 || baseline > values.Count) throw new ArgumentException($"The limits are to be made from {baseline} of {values.Count} values; give 2 or more, and no more than there are.", nameof(baseline));
        var (centre, range) = (values.Take(baseline ?? values.Count).Average(), ranges.Take((baseline ?? values.Count) - 1).Average());
        var reach = 3 * range / D2;
        return new(
            centre, centre - reach, centre + reach, range, D4 * range,
            [.. Enumerable.Range(0, values.Count).Where(i => Math.Abs(values[i] - centre) > reach)],
            [.. Enumerable.Range(1, ranges.Length).Where(i => ranges[i - 1] > D4 * range)]);
    }
}
