using SweepRig.Analysis;
using SweepRig.Service.Cli.Rendering;

namespace SweepRig.Service.Tests.Cli.Rendering;

/// <summary>Rounding as JCGM 100:2008 (GUM), 7.2.6, has it: an uncertainty to one or two digits, the estimate to agree with it.</summary>
public sealed class FigureTextTests
{
    [Theory]
    // The GUM's own example: 10.057 62 ohm with an uncertainty of 27 mohm is stated as 10.058 ohm.
    [InlineData(10.05762, 0.027, "10.058 ± 0.027")]
    [InlineData(27.99123, 0.0091, "27.991 ± 0.009")]
    [InlineData(27.99123, 0.0123, "27.991 ± 0.012")]
    [InlineData(-3.14159, 0.05, "-3.14 ± 0.05")]
    [InlineData(5, 0.2, "5.00 ± 0.20")]
    [InlineData(123.4, 30, "120 ± 30")]
    [InlineData(2313.2, 70, "2310 ± 70")]
    [InlineData(123456, 1234, "123500 ± 1200")]
    [InlineData(-0.0001, 0.05, "0.00 ± 0.05")]
    [InlineData(5.0, 0.00951, "5.000 ± 0.010")]
    public void A_value_is_rounded_as_its_expanded_uncertainty_allows(double value, double expanded, string expected) =>
        Assert.Equal(expected, FigureText.Of(Figure.Of(value, "V", expanded / 2)));

    [Theory]
    [InlineData(5.02349, "5.023")]
    [InlineData(-13.2, "-13.20")]
    [InlineData(0, "0.000")]
    public void Without_an_uncertainty_there_are_four_digits(double value, string expected) =>
        Assert.Equal(expected, FigureText.Of(Figure.Of(value, "V", null)));

    [Fact]
    public void What_does_not_exist_is_none() => Assert.Equal("none", FigureText.WithUnit(Figure.None("V", "the output does not rise again")));

    [Fact]
    public void A_ratio_has_no_unit()
    {
        Assert.Equal("-12.3 ± 0.4", FigureText.WithUnit(Figure.Of(-12.34, "1", 0.205)));
        Assert.Equal("-12.3 ± 0.4 V", FigureText.WithUnit(Figure.Of(-12.34, "V", 0.205)));
    }

    [Theory]
    [InlineData(3.21e-9, 2.1e-10, "A", "3.21 ± 0.21 nA")]
    [InlineData(2313.2, 70, "Ω", "2.31 ± 0.07 kΩ")]
    [InlineData(2e-10, 3e-9, "A", "0 ± 3 nA")]
    [InlineData(12.34, 0.4, "%", "12.3 ± 0.4 %")]
    [InlineData(1.742e-4, 4.5e-5, "1", "0.00017 ± 0.00005")]
    public void Any_size_is_written_with_a_prefix_where_the_unit_takes_one(double value, double expanded, string unit, string expected) =>
        Assert.Equal(expected, FigureText.Scaled(Figure.Of(value, unit, expanded / 2)));

    [Theory]
    [InlineData(2.813e-3, 2.789e-3, 2.837e-3, "A/V^1.5", "2.813", "2.789 to 2.837", "mA/V^1.5")]
    [InlineData(10685.8, 6882.9, 22458.6, "1", "10700", "6900 to 22500", "")]
    [InlineData(0.6335, 0.6253, 0.6418, "V", "633.5", "625.3 to 641.8", "mV")]
    [InlineData(0, 0, 0, "S", "0.000", "0.000 to 0.000", "S")]
    public void An_interval_is_rounded_as_its_smaller_part_allows(double value, double low, double high, string unit, string of, string interval, string with) =>
        Assert.Equal((of, interval, with), FigureText.Interval(value, low, high, unit));
}
