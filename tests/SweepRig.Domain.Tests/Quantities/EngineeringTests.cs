using System.Globalization;
using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Tests.Quantities;

public class EngineeringTests
{
    // Prefixes: SI brochure (BIPM, 9th edition), table 7.
    [Theory]
    [InlineData(0, "0 V")]
    [InlineData(5.02, "5.02 V")]
    [InlineData(-14, "-14 V")]
    [InlineData(4.5e-3, "4.5 mV")]
    [InlineData(12.34567e-6, "12.35 µV")]
    [InlineData(3e-9, "3 nV")]
    [InlineData(-7.5e-12, "-7.5 pV")]
    [InlineData(4700, "4.7 kV")]
    [InlineData(2.2e6, "2.2 MV")]
    [InlineData(0.999949, "999.9 mV")]
    [InlineData(999.99e-3, "1 V")]
    [InlineData(999.4, "999.4 V")]
    [InlineData(999.99, "1 kV")]
    [InlineData(-999.99e-6, "-1 mV")]
    [InlineData(double.NaN, "–")]
    public void A_value_is_written_with_its_prefix(double value, string text) => Assert.Equal(text, Engineering.Format(value, "V"));

    [Theory]
    [InlineData(1, "1 A")]
    [InlineData(2, "1.2 A")]
    [InlineData(6, "1.23457 A")]
    public void Digits_are_significant_digits(int digits, string text) => Assert.Equal(text, Engineering.Format(1.23456789, "A", digits));

    [Fact]
    public void Below_the_smallest_prefix_a_power_of_ten_is_written() => Assert.Equal("2.5e-15 A", Engineering.Format(2.5e-15, "A"));

    [Fact]
    public void The_micro_sign_is_U_00B5() => Assert.Equal('\u00B5', Engineering.Format(2e-6, "A")[2]);

    [Fact]
    public void The_decimal_sign_is_a_point_whatever_the_culture()
    {
        var before = CultureInfo.CurrentCulture;
        var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        comma.NumberFormat.NumberDecimalSeparator = ",";
        try
        {
            CultureInfo.CurrentCulture = comma;
            Assert.Equal("1.5 V", Engineering.Format(1.5, "V"));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }
}
