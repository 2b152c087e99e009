using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Domain.Tests.Quantities;

public class QuantityTests
{
    public static TheoryData<double> NoNumbers => [double.NaN, double.PositiveInfinity, double.NegativeInfinity];

    [Theory]
    [MemberData(nameof(NoNumbers))]
    public void What_is_no_number_is_no_quantity(double value)
    {
        Refused(() => _ = new Volts(value), "volts");
        Refused(() => _ = new Amps(value), "amperes");
        Refused(() => _ = new Ohms(value), "ohms");
        Refused(() => _ = new Watts(value), "watts");

        static void Refused(Action make, string unit) =>
            Assert.Contains($"in {unit} must be a finite number", Assert.Throws<ArgumentOutOfRangeException>(make).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sum_that_overflows_is_refused_too() => Assert.Throws<ArgumentOutOfRangeException>(() => new Volts(double.MaxValue) + new Volts(double.MaxValue));

    // Ohm 1827 and Joule 1841: 24 V over 10 kohm is 2.4 mA and 57.6 mW.
    [Fact]
    public void Laws_of_the_units()
    {
        var current = new Volts(24) / new Ohms(10_000);
        Assert.Equal(new Amps(2.4e-3), current);
        Assert.Equal(new Watts(57.6e-3), new Volts(24) * current);
    }

    [Fact]
    public void A_current_through_0_ohm_is_refused_rather_than_infinite() => Assert.Throws<ArgumentOutOfRangeException>(() => new Volts(1) / new Ohms(0));

    [Fact]
    public void Sums_and_differences()
    {
        Assert.Equal(new Volts(14), new Volts(28) + new Volts(-14));
        Assert.Equal(new Volts(42), new Volts(28) - new Volts(-14));
        Assert.Equal(new Volts(-28), -new Volts(28));
        Assert.Equal(new Amps(-1), new Amps(1) - new Amps(2));
        Assert.Equal(new Ohms(4800), new Ohms(4700) + new Ohms(100));
        Assert.Equal(new Watts(3), new Watts(2) + new Watts(1));
    }

    [Fact]
    public void Order_follows_the_value()
    {
        Volts low = new(-14), high = new(24);
        Assert.True(low < high && high > low && low <= high && high >= low);
        Assert.False(high < low || low > high);
        Assert.True(low <= new Volts(-14) && low >= new Volts(-14));
        Assert.Equal([low, high], new[] { high, low }.Order());
        Assert.True(new Amps(1).CompareTo(new Amps(2)) < 0);
        Assert.True(new Ohms(2).CompareTo(new Ohms(1)) > 0);
        Assert.Equal(0, new Watts(1).CompareTo(new Watts(1)));
    }

    [Fact]
    public void Equal_values_are_equal_quantities()
    {
        Assert.Equal(new Volts(6.3), new Volts(6.3));
        Assert.NotEqual(new Volts(6.3), new Volts(6.30001));
        Assert.Equal(new Volts(6.3).GetHashCode(), new Volts(6.3).GetHashCode());
        Assert.Equal(0, default(Volts).Value);
    }

    [Fact]
    public void A_quantity_is_written_with_its_unit()
    {
        Assert.Equal("5.02 V", new Volts(5.02).ToString());
        Assert.Equal("4.5 mA", new Amps(4.5e-3).ToString());
        Assert.Equal("4.7 kΩ", new Ohms(4700).ToString());
        Assert.Equal("250 mW", new Watts(0.25).ToString());
        Assert.Equal("1500 us (rig)", new RigTime(1500).ToString());
    }

    // 60 V d.c.: IEC 60598-1, 8.2.3, and others; the scope of the project.
    [Fact]
    public void The_extra_low_voltage_limit_is_60_V() => Assert.Equal(new Volts(60), ExtraLowVoltage.Limit);
}
