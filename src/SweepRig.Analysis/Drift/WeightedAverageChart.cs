namespace SweepRig.Analysis.Drift;

/// <summary>Control chart of the exponentially weighted moving average, which sees small lasting changes (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4).</summary>
/// <param name="Averages">After each value.</param>
/// <param name="Lower">Lower control limit for a long series.</param>
/// <param name="Upper">Upper control limit.</param>
/// <param name="Outside">Averages outside, by place.</param>
public sealed record WeightedAverageChart(IReadOnlyList<double> Averages, double Lower, double Upper, IReadOnlyList<int> Outside)
{
    /// <param name="values">In the order measured.</param>
    /// <param name="target">What the average starts from and should stay at.</param>
    /// <param name="standardDeviation">Of a single value, above 0.</param>
    /// <param name="weight">Of the newest value, above 0 up to 1; 0.2 to 0.3 is usual.</param>
    /// <param name="reach">Limits in standard deviations of the average.</param>
    /// <exception cref="ArgumentOutOfRangeException">A setting is out of range.</exception>
    public static WeightedAverageChart Of(IReadOnlyList<double> values, double target, double standardDeviation, double weight = 0.3, double reach = 3)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (!(standardDeviation > 0)) throw new ArgumentOutOfRangeException(nameof(standardDeviation), standardDeviation, "The standard deviation must be above 0.");
        if (!(weight > 0 && weight <= 1)) throw new ArgumentOutOfRangeException(nameof(weight), weight, "The weight of the newest value must be above 0 and at most 1.");
        var averages = new double[values.Count];
        var average = target;
        for (var i = 0; i < averages.Length; i++) averages[i] = average += weight * (values[i] - average);
        var half = reach * standardDeviation * Math.Sqrt(weight / (2 - weight));
        return new(averages, target - half, target + half, [.. Enumerable.Range(0, averages.Length).Where(i => Math.Abs(averages[i] - target) > half)]);
    }
}
