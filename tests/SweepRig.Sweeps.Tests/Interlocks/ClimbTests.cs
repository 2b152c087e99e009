using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>A current that runs away at constant drive, look by look.</summary>
public sealed class ClimbTests
{
    private const double Rise = 0.25;

    /// <summary>The first look, at -1 V and 1 mA.</summary>
    private static readonly Climb Begun = Climb.None.With(-1, 1e-3, 10, Rise);

    [Fact]
    public void The_first_look_is_where_the_climb_begins()
    {
        Assert.Equal(new(-1, 1e-3, 1e-3, 10, 0), Begun);
        Assert.Equal(new(double.NaN, 0, 0, 0, 0), Climb.None);
    }

    [Fact]
    public void A_look_that_finds_more_than_the_part_that_counts_is_a_rise() =>
        Assert.Equal(new(-1, 1e-3, 1.26e-3, 11, 1), Begun.With(-1, 1.26e-3, 11, Rise));

    /// <summary>1 and 1.25 are exact in binary: exactly the part that counts is no rise yet.</summary>
    [Fact]
    public void Exactly_the_part_that_counts_is_none_and_begins_anew()
    {
        var begun = Climb.None.With(-1, 1, 10, Rise);
        Assert.Equal(new(-1, 1.25, 1.25, 11, 0), begun.With(-1, 1.25, 11, Rise));
    }

    [Fact]
    public void A_look_that_finds_no_rise_begins_anew_where_it_is()
    {
        var risen = Begun.With(-1, 2e-3, 11, Rise);
        Assert.Equal(new(-1, 2.1e-3, 2.1e-3, 12, 0), risen.With(-1, 2.1e-3, 12, Rise));
        Assert.Equal(new(-1, 0.5e-3, 0.5e-3, 12, 0), risen.With(-1, 0.5e-3, 12, Rise));
    }

    [Theory]
    [InlineData(10.999)]
    [InlineData(10)]
    public void Within_a_second_of_the_last_look_nobody_looks(double rigSeconds) => Assert.Equal(Begun, Begun.With(-1, 5e-3, rigSeconds, Rise));

    [Fact]
    public void A_clock_that_went_back_begins_anew() => Assert.Equal(new(-1, 5e-3, 5e-3, 9, 0), Begun.With(-1, 2e-3, 11, Rise).With(-1, 5e-3, 9, Rise));

    [Theory]
    [InlineData(-1, double.NaN)]
    [InlineData(-1.03, 5e-3)]
    [InlineData(-9, double.NaN)]
    public void No_current_or_a_lower_drive_says_nothing_of_the_current_at_the_highest(double drive, double amps) => Assert.Equal(Begun, Begun.With(drive, amps, 12, Rise));

    [Fact]
    public void A_higher_drive_begins_anew() => Assert.Equal(new(-0.9, 5e-3, 5e-3, 12, 0), Begun.With(-1, 2e-3, 11, Rise).With(-0.9, 5e-3, 12, Rise));

    [Theory]
    [InlineData(-1.01)]
    [InlineData(-0.99)]
    public void A_drive_that_differs_by_its_noise_is_the_same(double drive) => Assert.Equal(1, Begun.With(drive, 2e-3, 12, Rise).Rises);

    /// <summary>20 mV either way of 0 V.</summary>
    [Theory]
    [InlineData(-0.02, 1)]
    [InlineData(0.02, 1)]
    [InlineData(-0.0201, 0)]
    [InlineData(0.0201, 0)]
    public void Its_noise_is_20_mV(double drive, int rises) => Assert.Equal(rises, Climb.None.With(0, 1e-3, 10, Rise).With(drive, 2e-3, 12, Rise).Rises);

    [Theory]
    [InlineData(Climb.Enough, Climb.EnoughAmps, true)]
    [InlineData(Climb.Enough, 0.299e-3, false)]
    [InlineData(Climb.Enough - 1, 5e-3, false)]
    [InlineData(Climb.Enough + 1, 5e-3, true)]
    public void A_runaway_is_enough_rises_of_enough_in_all(int rises, double last, bool runaway) =>
        Assert.Equal(runaway, new Climb(-1, 0, last, 14, rises).IsRunaway);
}
