using SweepRig.Logic.Search;

namespace SweepRig.Logic.Tests.Search;

/// <summary>IEC 60063:2015, as stored lists of it give it.</summary>
public sealed class PreferredValuesTests
{
    [Theory]
    [InlineData(PreferredSeries.E12, 12, 33.0)]
    [InlineData(PreferredSeries.E24, 24, 82.6)]
    [InlineData(PreferredSeries.E96, 96, 384.0)]
    public void A_decade_has_its_values(PreferredSeries series, int count, double about)
    {
        var decade = PreferredValues.Decade(series);
        Assert.Equal(count, decade.Count);
        Assert.Equal(decade.Order(), decade);
        Assert.Equal(about, decade.Sum(), about * 0.3);
    }

    [Fact]
    public void E96_has_the_values_of_the_standard_at_the_places_checked()
    {
        // 1.00 1.02 1.05 1.07 … 4.64 4.75 4.87 … 9.31 9.53 9.76
        var decade = PreferredValues.Decade(PreferredSeries.E96);
        Assert.Equal([1.00, 1.02, 1.05, 1.07, 1.10, 1.13, 1.15, 1.18], decade.Take(8));
        Assert.Equal([4.64, 4.75, 4.87, 4.99], decade.Skip(64).Take(4));
        Assert.Equal([9.09, 9.31, 9.53, 9.76], decade.Skip(92));
    }

    [Theory]
    [InlineData(PreferredSeries.E24, 319, 330)]
    [InlineData(PreferredSeries.E96, 16834.2, 16900)]
    [InlineData(PreferredSeries.E24, 4_999, 5_100)]
    public void The_nearest_value_is_nearest_in_ratio(PreferredSeries series, double wanted, double nearest) => Assert.Equal(nearest, PreferredValues.Nearest(series, wanted));

    [Fact]
    public void A_range_holds_both_ends() => Assert.Equal([4_700, 5_100, 5_600], PreferredValues.Between(PreferredSeries.E24, 4_700, 5_600));
}
