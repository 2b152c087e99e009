using SweepRig.Analysis.Drift;

namespace SweepRig.Analysis.Tests.Drift;

public sealed class DriftSeriesTests
{
    // ISO 13528, E_n: |x - X| / sqrt(U_x^2 + U_X^2), satisfactory up to 1. Here 0.4 V over sqrt(0.2^2 + 0.2^2) V = 1.414; from memory.
    [Fact]
    public void A_change_is_held_against_the_expanded_uncertainty_of_both_ends()
    {
        var series = DriftSeries.Of([Volts(2), Volts(2.2), Volts(2.4)]);
        Assert.Equal([null, 0.707, 1.414], series.Points.Select(p => p.BeyondUncertainty is { } b ? Math.Round(b, 3) : (double?)null));
        Assert.Equal([false, false, true], series.Points.Select(p => p.HasChanged));
        Assert.Equal(0.4, series.Points[2].Change!.Value!.Value, 12);
    }

    // The charts are those of the handbook's examples, see ControlChartTests; here that they are made of the values in order, with the deviation that the moving ranges give.
    [Fact]
    public void Charts_are_made_from_all_values()
    {
        double[] flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
        var series = DriftSeries.Of([.. flow.Select(f => Figure.Of(f, "V", null))]);
        Assert.Equal(50.81, series.Individuals!.Centre, 9);
        Assert.Equal((55.8041 - 50.81) / 3 * Math.Sqrt(0.3 / 1.7) * 3 + 50.81, series.Averages!.Upper, 3);
        Assert.All(series.Points, p => Assert.False(p.HasChanged));
        Assert.Null(series.Points[^1].BeyondUncertainty);
    }

    [Fact]
    public void One_measurement_has_no_chart_and_equal_ones_have_no_average()
    {
        var one = DriftSeries.Of([Volts(2)]);
        Assert.Equal((null, null, null), (one.Individuals, one.Averages, one.Points[0].Change));
        var equal = DriftSeries.Of([Volts(2), Volts(2), Volts(2)]);
        Assert.NotNull(equal.Individuals);
        Assert.Null(equal.Averages);
    }

    [Fact]
    public void What_is_no_series_is_refused()
    {
        Assert.Throws<ArgumentException>(() => DriftSeries.Of([]));
        Assert.Throws<ArgumentException>(() => DriftSeries.Of([Figure.None("V", "never conducts")]));
        Assert.Throws<ArgumentException>(() => DriftSeries.Of([Volts(1), Figure.Of(1, "A", 0.1)]));
    }

    private static Figure Volts(double value) => Figure.Of(value, "V", 0.1);
}
