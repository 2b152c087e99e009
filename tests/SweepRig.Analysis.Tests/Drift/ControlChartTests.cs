using SweepRig.Analysis.Drift;

namespace SweepRig.Analysis.Tests.Drift;

/// <summary>Worked examples of the NIST/SEMATECH e-Handbook of Statistical Methods; their data from memory, their limits as printed.</summary>
public sealed class ControlChartTests
{
    private static readonly double[] FlowRates = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

    // 6.3.2.2
    [Fact]
    public void Individuals_and_moving_ranges()
    {
        var chart = IndividualsChart.Of(FlowRates);
        Assert.Equal((50.81, 55.8041, 45.8159), (Math.Round(chart.Centre, 4), Math.Round(chart.Upper, 4), Math.Round(chart.Lower, 4)));
        Assert.Equal((1.8778, 6.1347), (Math.Round(chart.MeanRange, 4), Math.Round(chart.UpperRange, 4)));
        Assert.Empty(chart.Outside);
        Assert.Empty(chart.RangesOutside);
    }

    // 6.3.2.4, with its weight of 0.3, target of 50 and standard deviation of 2.0539.
    [Fact]
    public void Weighted_moving_average()
    {
        double[] values = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, .. FlowRates];
        double[] printed =
        [
            50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
        ];
        var chart = WeightedAverageChart.Of(values, 50, 2.0539);
        Assert.Equal((52.5884, 47.4116), (Math.Round(chart.Upper, 4), Math.Round(chart.Lower, 4)));
        Assert.All(printed.Zip(chart.Averages), p => Assert.InRange(p.Second, p.First - 0.0051, p.First + 0.0051));
        Assert.Empty(chart.Outside);
    }

    [Fact]
    public void A_jump_is_outside_both_ways()
    {
        double[] values = [1, 1.01, 0.99, 1, 1.01, 0.99, 1, 1.01, 1.5, 1];
        Assert.Equal([8], IndividualsChart.Of(values).Outside);
        Assert.Equal([8, 9], IndividualsChart.Of(values).RangesOutside);
        Assert.Contains(8, WeightedAverageChart.Of(values, 1, 0.01).Outside);
    }

    [Fact]
    public void A_small_lasting_change_is_seen_by_the_average_alone()
    {
        // One standard deviation up from the twelfth value on; the limits of single values never meet it.
        double[] noise = [0.3, -0.8, 0.5, -0.2, 0.9, -0.6, 0.1, -0.4, 0.7, -0.5, 0.2, -0.1];
        double[] values = [.. noise, .. noise.Select(n => n + 1.5)];
        Assert.Empty(IndividualsChart.Of(values).Outside);
        Assert.NotEmpty(WeightedAverageChart.Of(values, 0, 0.6, 0.2).Outside);
    }

    [Fact]
    public void Limits_made_from_the_first_values_judge_those_that_follow()
    {
        double[] values = [1, 1.01, 0.99, 1, 1.01, 1.2, 1.2, 1.2, 1.2];
        var chart = IndividualsChart.Of(values, 5);
        var first = IndividualsChart.Of(values[..5]);
        Assert.Equal((first.Centre, first.Upper, first.UpperRange), (chart.Centre, chart.Upper, chart.UpperRange));
        Assert.Equal([5, 6, 7, 8], chart.Outside);
        Assert.Equal([5], chart.RangesOutside);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(4)]
    public void A_baseline_that_is_none_is_refused(int baseline) => Assert.Throws<ArgumentException>(() => IndividualsChart.Of([1, 2, 3], baseline));

    [Theory]
    [InlineData(new double[0])]
    [InlineData(new[] { 1.0 })]
    [InlineData(new[] { 1.0, double.NaN })]
    public void Too_little_is_refused(double[] values) => Assert.Throws<ArgumentException>(() => IndividualsChart.Of(values));

    [Theory]
    [InlineData(0, 0.3)]
    [InlineData(double.NaN, 0.3)]
    [InlineData(1, 0)]
    [InlineData(1, 1.1)]
    public void Settings_out_of_range_are_refused(double deviation, double weight) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => WeightedAverageChart.Of([1, 2], 0, deviation, weight));
}
