namespace SweepRig.Benchmarks;

public static class Percentile
{
    /// <summary>Nearest-rank percentile of unsorted values.</summary>
    /// <param name="values">At least one.</param>
    /// <param name="percent">Above 0, at most 100.</param>
    public static double Of(IReadOnlyCollection<double> values, double percent)
    {
        var sorted = values.Order().ToArray();
        return sorted[Math.Max(0, (int)Math.Ceiling(percent / 100 * sorted.Length) - 1)];
    }
}
