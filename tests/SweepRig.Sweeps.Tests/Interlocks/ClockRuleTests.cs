using SweepRig.Domain.Interlocks;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>Stale data, clocks that cannot be trusted, and a heater that goes off.</summary>
public sealed class ClockRuleTests
{
    [Fact]
    public void A_pass_that_runs_without_samples_trips_after_its_time()
    {
        var sweep = new WatchedSweep();
        Clocks(sweep, 4.9);
        Assert.Null(sweep.Cause);
        sweep.Block(WatchedSweep.Sound(4.9));
        Clocks(sweep, 9.9);
        Assert.Null(sweep.Cause);
        Status(sweep, 10, 10);
        Clocks(sweep, 10.1);
        Assert.Equal(TripCause.StaleData, sweep.Cause);
        Assert.Contains("no samples for", sweep.State.Trip!.Measured, StringComparison.Ordinal);
    }

    [Fact]
    public void A_slow_plan_is_given_the_time_of_its_points()
    {
        var sweep = new WatchedSweep(pass: WatchedSweep.Pass with { PointSeconds = 3 });
        Clocks(sweep, 16.9);
        Assert.Null(sweep.Cause);
        Clocks(sweep, 17.1);
        Assert.Equal(TripCause.StaleData, sweep.Cause);
    }

    [Fact]
    public void What_does_not_run_yet_or_any_more_is_not_stale()
    {
        var sweep = new WatchedSweep();
        Clocks(sweep, 60, passRuns: false);
        Clocks(sweep, 64);
        Assert.Null(sweep.Cause);
        sweep.Next(new InterlockEvent.PassEnded(), 64);
        Clocks(sweep, 600);
        Assert.Null(sweep.Cause);
    }

    [Fact]
    public void Passes_that_nobody_sees_anything_of_are_one_silence_less_the_time_between_them()
    {
        var sweep = new WatchedSweep();
        Clocks(sweep, 3);
        sweep.Next(new InterlockEvent.PassEnded(), 3);
        Clocks(sweep, 3.1);
        Clocks(sweep, 60, passRuns: false);
        sweep.Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, 60), 60);
        Status(sweep, 61, 61);
        Clocks(sweep, 61.9);
        Assert.Null(sweep.Cause);
        Clocks(sweep, 62.3);
        Assert.Equal(TripCause.StaleData, sweep.Cause);
    }

    [Fact]
    public void A_pass_after_one_that_was_heard_is_given_all_its_time()
    {
        var sweep = new WatchedSweep();
        sweep.Block(WatchedSweep.Sound(1));
        Clocks(sweep, 4);
        sweep.Next(new InterlockEvent.PassEnded(), 4);
        sweep.Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, 4), 4);
        Clocks(sweep, 8.9);
        Assert.Null(sweep.Cause);
        Clocks(sweep, 9.1);
        Assert.Equal(TripCause.StaleData, sweep.Cause);
    }

    [Fact]
    public void Silent_passes_after_one_that_was_heard_are_one_silence_too()
    {
        var sweep = new WatchedSweep();
        sweep.Block(WatchedSweep.Sound(1));
        sweep.Next(new InterlockEvent.PassEnded(), 4).Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, 4), 4);
        Clocks(sweep, 7);
        sweep.Next(new InterlockEvent.PassEnded(), 7).Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, 7), 7);
        Clocks(sweep, 8.9);
        Assert.Null(sweep.Cause);
        Clocks(sweep, 9.1);
        Assert.Equal(TripCause.StaleData, sweep.Cause);
    }

    [Fact]
    public void A_sweep_whose_rig_tells_no_status_trips_though_samples_come()
    {
        var sweep = new WatchedSweep();
        Status(sweep, 1, 1);
        sweep.Block(WatchedSweep.Sound(5.9));
        Clocks(sweep, 5.9);
        Assert.Null(sweep.Cause);
        Clocks(sweep, 6.1);
        Assert.Equal(TripCause.StaleData, sweep.Cause);
        Assert.Equal("no status of the rig for 5.1 s", sweep.State.Trip!.Measured);
    }

    /// <summary>The last status of an idle rig counts for the sweep that follows.</summary>
    [Fact]
    public void A_status_before_the_sweep_counts()
    {
        var sweep = new WatchedSweep();
        sweep.Next(new InterlockEvent.SweepEnded());
        sweep.Next(new InterlockEvent.RigStatus(null, false) { HostSeconds = 2, RigSeconds = 2 }, 2);
        Clocks(sweep, 6, passRuns: false);
        sweep.Next(new InterlockEvent.SweepArmed(24), 6).Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, 6), 6);
        Clocks(sweep, 7);
        Assert.Null(sweep.Cause);
        Clocks(sweep, 7.1);
        Assert.Equal("no status of the rig for 5.1 s", sweep.State.Trip?.Measured);
    }

    /// <summary>Between runs nobody looks: what the rig's clock did meanwhile is no matter of the next.</summary>
    [Fact]
    public void The_clocks_are_compared_anew_in_each_run()
    {
        var sweep = new WatchedSweep();
        Status(sweep, 5, 105);
        sweep.Next(new InterlockEvent.SweepEnded(), 5);
        sweep.Next(new InterlockEvent.RigStatus(null, false) { HostSeconds = 6, RigSeconds = 3 }, 6);
        sweep.Next(new InterlockEvent.SweepArmed(24), 7).Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, 7), 7);
        Status(sweep, 30, 4);
        Status(sweep, 39, 5);
        Assert.Null(sweep.Cause);
        Status(sweep, 40, 4.9);
        Assert.Equal(TripCause.ClockTrouble, sweep.Cause);
    }

    [Fact]
    public void A_sweep_pays_nothing_for_the_silence_of_the_one_before()
    {
        var sweep = new WatchedSweep();
        Clocks(sweep, 4);
        sweep.Next(new InterlockEvent.SweepEnded(), 4);
        sweep.Next(new InterlockEvent.SweepArmed(24), 4);
        sweep.Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, 4), 4);
        Clocks(sweep, 8.9);
        Assert.Null(sweep.Cause);
    }

    [Theory]
    [InlineData(-3600)]
    [InlineData(11)]
    public void A_wall_clock_that_jumps_under_a_permit_ends_it_and_the_sweep(double jump)
    {
        var sweep = new WatchedSweep();
        Clocks(sweep, 1);
        Clocks(sweep, 2, wall: 2 + jump);
        Assert.Equal(TripCause.ClockTrouble, sweep.Cause);
        Assert.Null(sweep.State.Permit);
    }

    /// <summary>Slewed by at most 0.5 ms in a second (RFC 5905, from memory), and the hour of summer time that UTC does not know: nothing of it trips.</summary>
    [Fact]
    public void A_clock_that_is_slewed_does_nothing()
    {
        var sweep = new WatchedSweep();
        for (var t = 1; t < 3_500; t += 4)
        {
            Status(sweep, t, t);
            sweep.Block(WatchedSweep.Sound(t));
            Clocks(sweep, t, wall: t * 1.0005);
        }
        Assert.Null(sweep.Cause);
    }

    [Fact]
    public void Without_a_permit_a_jump_is_nobodys_trouble_and_a_new_permit_begins_anew()
    {
        var sweep = new WatchedSweep();
        sweep.Next(new InterlockEvent.SweepEnded()).Next(new InterlockEvent.PermitEnded());
        Clocks(sweep, 1);
        Clocks(sweep, 2, wall: 9_000);
        sweep.Next(new InterlockEvent.PermitGranted(new(Guid.Empty, new(24), TimeSpan.FromHours(1), "anew", WatchedSweep.Start)), 3);
        Clocks(sweep, 3, wall: 9_001);
        Assert.NotNull(sweep.State.Permit);
        Assert.Null(sweep.Cause);
    }

    [Fact]
    public void A_rig_clock_that_goes_back_trips()
    {
        var sweep = new WatchedSweep();
        Status(sweep, 5, 105);
        Status(sweep, 5.1, 104.9);
        Assert.Equal(TripCause.ClockTrouble, sweep.Cause);
    }

    /// <summary>Within the ten seconds as at their end, and though it is still ahead of where they began.</summary>
    [Theory]
    [InlineData(1.0)]
    [InlineData(10.0)]
    public void It_is_the_last_status_that_the_clock_may_not_go_back_behind(double last)
    {
        var sweep = new WatchedSweep();
        Status(sweep, 0, 100);
        Status(sweep, 0.5, 100.5);
        Status(sweep, last, 100 + last);
        Assert.Null(sweep.Cause);
        Status(sweep, last + 0.1, 99.9 + last);
        Assert.Equal(TripCause.ClockTrouble, sweep.Cause);
    }

    [Fact]
    public void A_rig_clock_that_stands_still_trips_after_ten_seconds()
    {
        var sweep = new WatchedSweep();
        for (var t = 0; t < 10; t++) Status(sweep, t, 100);
        Assert.Null(sweep.Cause);
        Status(sweep, 10, 100);
        Assert.Equal(TripCause.ClockTrouble, sweep.Cause);
    }

    /// <summary>One that is late by 1 %, as a ceramic resonator is (from memory), one that comes in bursts, and one that runs ahead as a simulated rig's may.</summary>
    [Theory]
    [InlineData(0.99)]
    [InlineData(60)]
    public void A_rig_clock_of_another_rate_does_not(double rate)
    {
        var sweep = new WatchedSweep();
        for (var t = 0; t < 100; t++) Status(sweep, t + (t % 3), t * rate);
        Assert.Null(sweep.Cause);
    }

    [Theory]
    [InlineData(0, "the heater is off")]
    [InlineData(20, "20 s")]
    public void A_heater_that_is_off_or_cold_in_mid_sweep_trips(double seconds, string says)
    {
        var sweep = new WatchedSweep();
        sweep.Next(new InterlockEvent.RigStatus(null, false, Running: true, RailOn: true) { HeaterSeconds = 39.2 });
        Assert.Null(sweep.Cause);
        sweep.Next(new InterlockEvent.RigStatus(null, false, Running: true, RailOn: true) { HeaterSeconds = seconds });
        Assert.Equal(TripCause.HeaterCold, sweep.Cause);
        Assert.Contains(says, sweep.State.Trip!.Measured, StringComparison.Ordinal);
    }

    [Fact]
    public void What_needs_no_heater_is_not_held_to_it()
    {
        var sweep = new WatchedSweep(pass: WatchedSweep.Pass with { WarmSeconds = 0 });
        sweep.Next(new InterlockEvent.RigStatus(null, false, Running: true, RailOn: true) { HeaterSeconds = 0 });
        Assert.Null(sweep.Cause);
    }

    private static void Clocks(WatchedSweep sweep, double seconds, bool passRuns = true, double? wall = null) =>
        sweep.Next(new InterlockEvent.Clocks(seconds, 1e6 + (wall ?? seconds), passRuns), seconds);

    private static void Status(WatchedSweep sweep, double host, double rig) =>
        sweep.Next(new InterlockEvent.RigStatus(null, false, Running: true, RailOn: true) { HostSeconds = host, RigSeconds = rig }, host);
}
