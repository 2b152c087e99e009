using SweepRig.Analysis.Grading;

namespace SweepRig.Analysis.Tests.Grading;

public sealed class SpreadTests
{
    // NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.2: twelve gauge readings, 90th percentile 95.1981. From memory.
    [Fact]
    public void Quantiles_are_those_of_the_handbook()
    {
        double[] readings = [95.0610, 95.0925, 95.1065, 95.1195, 95.1442, 95.1567, 95.1591, 95.1682, 95.1772, 95.1937, 95.1959, 95.1990];
        Assert.Equal(95.1981, Spread.Quantile(readings, 0.9), 4);
        Assert.Equal((95.0610, 95.1990), (Spread.Quantile(readings, 0.01), Spread.Quantile(readings, 0.99)));
    }

    // Iglewicz and Hoaglin 1993, How to Detect and Handle Outliers: ten values of which two mask each other for the ordinary Z score (1.91 at most), and have modified scores of 25.86 and 26.31. From memory.
    [Fact]
    public void Two_odd_values_do_not_hide_each_other()
    {
        double[] values = [2.1, 2.6, 2.4, 2.5, 2.3, 2.1, 2.3, 2.6, 8.2, 8.3];
        var spread = Spread.Of(values);
        Assert.Equal([9, 8], spread.Outliers!.Select(o => o.Place));
        Assert.Equal(26.306, spread.Outliers![0].Score, 0.001);
        Assert.Equal(25.856, spread.Outliers![1].Score, 0.001);
        Assert.True((8.3 - spread.Mean) / spread.Deviation < 2);
        Assert.Equal(2.45, spread.Median, 9);
    }

    [Fact]
    public void The_robust_deviation_of_normal_values_is_their_deviation()
    {
        var random = new SweepRig.Analysis.Uncertainty.RandomStream(3);
        var spread = Spread.Of([.. Enumerable.Range(0, 20_000).Select(_ => 5 + 0.3 * random.Normal())]);
        // Standard errors: 0.5 % and 0.8 %.
        Assert.InRange(spread.Deviation!.Value, 0.29, 0.31);
        Assert.InRange(spread.RobustDeviation!.Value, 0.288, 0.312);
    }

    [Fact]
    public void Too_few_values_and_values_that_are_alike_have_no_outliers()
    {
        Assert.Null(Spread.Of([1, 2, 3, 99]).Outliers);
        Assert.Null(Spread.Of([1, 1, 1, 1, 99]).Outliers);
        Assert.Equal((1, null, null), (Spread.Of([7]).Count, Spread.Of([7]).Deviation, Spread.Of([7]).RobustDeviation));
    }

    [Theory]
    [InlineData(new double[0])]
    [InlineData(new[] { 1.0, double.NaN })]
    public void What_has_no_spread_is_refused(double[] values) => Assert.Throws<ArgumentException>(() => Spread.Of(values));

    // Freedman and Diaconis 1981: 2 IQR / n^(1/3). For 1 to 64 the quartiles are 16.25 and 48.75, the width asked for 16.25, and the nearest by ratio that is easily read 20.
    [Fact]
    public void Bins_are_as_wide_as_the_rule_asks_and_easily_read()
    {
        var histogram = Histogram.Of([.. Enumerable.Range(1, 64).Select(i => (double)i)]);
        Assert.Equal((0.0, 20.0), (histogram.Start, histogram.Width));
        Assert.Equal([19, 20, 20, 5], histogram.Counts);
    }

    [Theory]
    [InlineData(new[] { 3.0 })]
    [InlineData(new[] { 3.0, 3.0, 3.0 })]
    [InlineData(new[] { 0.0, 0.0 })]
    [InlineData(new[] { -1e-9, 1e-9, 2e-9, 5e9 })]
    public void Every_value_is_in_a_bin(double[] values)
    {
        var histogram = Histogram.Of(values);
        Assert.Equal(values.Length, histogram.Counts.Sum());
        Assert.InRange(histogram.Counts.Count, 1, 42);
        Assert.True(histogram.Start <= values.Min() && histogram.Start + histogram.Width * histogram.Counts.Count >= values.Max());
    }
}
