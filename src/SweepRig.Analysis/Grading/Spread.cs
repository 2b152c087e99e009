namespace SweepRig.Analysis.Grading;

/// <summary>A value that lies far from the rest.</summary>
/// <param name="Place">In the list.</param>
/// <param name="Score">Modified Z score, dimensionless.</param>
public sealed record Outlier(int Place, double Score);

/// <summary>How the values of a lot are spread, told so that a few odd ones do not hide the rest.</summary>
/// <param name="Count">Values.</param>
/// <param name="Lowest">Of all.</param>
/// <param name="LowerQuartile">A quarter lies below.</param>
/// <param name="Median">Half lies below.</param>
/// <param name="UpperQuartile">Three quarters lie below.</param>
/// <param name="Highest">Of all.</param>
/// <param name="Mean">Of all.</param>
/// <param name="Deviation">Standard deviation of the sample; null for one value.</param>
/// <param name="RobustDeviation">Median of the distances from the median, scaled so that it is the standard deviation of a normal distribution; null for one value.</param>
/// <param name="Outliers">The farthest first; null where there are too few values, or too many alike, to call one an outlier.</param>
public sealed record Spread(
    int Count, double Lowest, double LowerQuartile, double Median, double UpperQuartile, double Highest, double Mean, double? Deviation, double? RobustDeviation,
    IReadOnlyList<Outlier>? Outliers)
{
    /// <summary>Fewest values among which one is called an outlier; common practice, no source.</summary>
    public const int FewestForOutliers = 5;

    /// <summary>Score beyond which a value is an outlier (Iglewicz and Hoaglin 1993; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17).</summary>
    public const double OutlierScore = 3.5;

    // Median distance from the median of a normal distribution, in standard deviations.
    private const double MedianDistance = 0.6745;

    /// <param name="values">1 or more, in any order.</param>
    /// <exception cref="ArgumentException">There is none, or one is not finite.</exception>
    public static Spread Of(IReadOnlyList<double> values)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (values.Count == 0) throw new ArgumentException("There is no value; a spread needs 1 or more.", nameof(values));
        if (values.Any(v => !double.IsFinite(v))) throw new ArgumentException("A value is not finite; leave it out.", nameof(values));
        double[] sorted = [.. values.Order()];
        var median = Quantile(sorted, 0.5);
        var distance = Quantile([.. values.Select(v => Math.Abs(v - median)).Order()], 0.5);
        var mean = values.Average();
        double? deviation = values.Count > 1 ? Math.Sqrt(values.Sum(v => (v - mean) * (v - mean)) / (values.Count - 1)) : null;
        return new(
            values.Count, sorted[0], Quantile(sorted, 0.25), median, Quantile(sorted, 0.75), sorted[^1], mean, deviation, values.Count > 1 ? distance / MedianDistance : null,
            values.Count < FewestForOutliers || distance == 0 ? null : Far(values, median, distance));
    }

    /// <summary>Quantile of sorted values between which it is interpolated, at p (N + 1) (NIST/SEMATECH e-Handbook, 7.2.6.2).</summary>
    public static double Quantile(IReadOnlyList<double> sorted, double p)
    {
        ArgumentNullException.ThrowIfNull(sorted);
        var at = p * (sorted.Count + 1) - 1;
        if (at <= 0) return sorted[0];
        if (at >= sorted.Count - 1) return sorted[^1];
        var below = (int)at;
        return sorted[below] + (at - below) * (sorted[below + 1] - sorted[below]);
    }

    private static List<Outlier> Far(IReadOnlyList<double> values, double median, double distance) =>
    [
        .. values.Select((v, i) => new Outlier(i, MedianDistance * (v - median) / distance)).Where(o => Math.Abs(o.Score) > OutlierScore).OrderByDescending(o => Math.Abs(o.Score)),
    ];
}
