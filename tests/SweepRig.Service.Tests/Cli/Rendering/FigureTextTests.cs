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
    [InlineData(123.4, 30, "123 ± 30")]
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
}
