using SweepRig.Domain.Interlocks;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>The rules that look at blocks to the last digit: what a limit is made of, what is told of it, and which of two rules counts.</summary>
public sealed class BlockLimitTests
{
    /// <summary>Round numbers, each part of a limit another: 7 V, 0.2 V and 0.8 V of rail; 0.5 and 0.25 V of read-back; 0.5 mA, and 0.47 V over 4.7 kΩ.</summary>
    private static readonly HostLimits Limits = WatchedSweep.Limits with
    {
        RailDeviation = 0.25, RailRoomVolts = 0.8, ReadBackVolts = 0.5, ReadBackRoomVolts = 0.25, ReverseGridCurrent = 0.5e-3, GridRoomVolts = 0.47,
        PlateShare = 0.8, ScreenShare = 0.8, StuckVolts = 5, PositiveSeconds = 40, PositiveCoulombs = 0.21, RunawayRise = 0.05, ClippedSamples = 64,
    };

    private static BlockSummary Sound(int n) => WatchedSweep.Sound(n);

    /// <summary>What stands in a trip for people to read.</summary>
    public static TheoryData<string, string, string> Words => new()
    {
        { "rail", "plate rail 36.1 V", "28 V planned, 8 V either way" },
        { "rail both ways", "plate rail 37 V", "28 V planned, 8 V either way" },
        { "read-back", "drive read back 1 V off", "750 mV" },
        { "reverse", "800 µA out of grid 1", "600 µA" },
        { "grid", "200 mW in grid 1", "100 mW" },
        { "plate", "2 W in the plate", "1.6 W" },
        { "screen", "500 mW in the screen", "400 mW" },
        { "runaway", "cathode current from 1 mA to 2.074 mA at -1 V", "5 % from look to look" },
        { "clipped", "64 samples in a row at the end of a range", "64 samples" },
        { "stuck", "the grid channel gave code 77 while the drive moved 5 V", "5 V" },
        { "pass seconds", "40.5 s above 0 V in this pass", "40 s" },
        { "pass charge", "211.5 mC into the grid in this pass", "210 mC" },
    };

    private static readonly Dictionary<string, Func<int, BlockSummary>> Broken = new()
    {
        ["rail"] = n => Sound(n) with { MaxSupply = 36.1 },
        ["rail both ways"] = n => Sound(n) with { MinSupply = 19, MaxSupply = 37 },
        ["read-back"] = n => Sound(n) with { ReadBackError = 1 },
        ["reverse"] = n => Sound(n) with { MinGridCurrent = -0.8e-3 },
        ["grid"] = n => Sound(n) with { GridWatts = 0.2 },
        ["plate"] = n => Sound(n) with { PlateWatts = 2 },
        ["screen"] = n => Sound(n) with { ScreenWatts = 0.5 },
        ["runaway"] = n => Sound(n) with { CathodeAtTop = 1e-3 * Math.Pow(1.2, n - 1) },
        ["clipped"] = n => Sound(n) with { ClippedAtEnd = 8 },
        ["stuck"] = n => Sound(n) with { GridCode = 77, MinDrive = -1 - n, MaxDrive = -1 },
        ["pass seconds"] = n => Sound(n) with { PositiveSeconds = 0.9 },
        ["pass charge"] = n => Sound(n) with { PositiveSeconds = 0.1, GridCoulombs = 4.5e-3 },
    };

    [Theory]
    [MemberData(nameof(Words))]
    public void A_trip_tells_what_was_measured_and_what_is_allowed(string name, string measured, string limit)
    {
        var sweep = new WatchedSweep(Limits);
        for (var n = 1; n <= 60 && sweep.Cause is null; n++) sweep.Block(Broken[name](n));
        Assert.Equal((measured, limit), (sweep.State.Trip?.Measured, sweep.State.Trip?.Limit));
    }

    /// <summary>A quarter of 28 V, 0.2 V and what the calibration leaves unknown: 8 V in all.</summary>
    [Theory]
    [InlineData(20.0, 36.0, false)]
    [InlineData(19.999, 36.0, true)]
    [InlineData(20.0, 36.001, true)]
    public void The_rail_may_be_off_by_its_part_and_what_is_not_known(double lowest, double highest, bool trips) =>
        Assert.Equal(trips, new WatchedSweep(Limits).Block(Sound(1) with { MinSupply = lowest, MaxSupply = highest }).Cause is not null);

    [Fact]
    public void Exactly_the_limit_of_movement_with_one_code_is_stuck()
    {
        Assert.Equal(TripCause.ChannelStuck, new WatchedSweep(Limits).Block(Sound(1) with { GridCode = 77, MinDrive = -6, MaxDrive = -1 }).Cause);
        Assert.Null(new WatchedSweep(Limits).Block(Sound(1) with { GridCode = 77, MinDrive = -5.99, MaxDrive = -1 }).Cause);
    }

    /// <summary>0 V comes out of a code as a nanovolt more.</summary>
    [Fact]
    public void A_channel_is_looked_at_up_to_0_V_with_the_rounding_of_a_code()
    {
        Assert.Equal(TripCause.ChannelStuck, new WatchedSweep(Limits).Block(Sound(1) with { GridCode = 77, MinDrive = -6, MaxDrive = 1e-9 }).Cause);
        Assert.Null(new WatchedSweep(Limits).Block(Sound(1) with { GridCode = 77, MinDrive = -6, MaxDrive = 2e-9 }).Cause);
    }

    /// <summary>0.6 s in each second: 36 s at most in a minute, and over 40 s in the 67th of one pass; 2.9 mC likewise, 174 mC in a minute and over 210 mC in the 73rd.</summary>
    [Theory]
    [InlineData(0.6, 0.0, 67, TripCause.HostPositiveTime)]
    [InlineData(0.1, 2.9e-3, 73, TripCause.HostPositiveCharge)]
    public void A_pass_longer_than_a_minute_is_counted_as_a_whole(double seconds, double coulombs, int on, TripCause cause)
    {
        var sweep = new WatchedSweep(Limits);
        for (var n = 1; n < on; n++) Assert.Null(sweep.Block(Sound(n) with { PositiveSeconds = seconds, GridCoulombs = coulombs }).Cause);
        Assert.Equal(cause, sweep.Block(Sound(on) with { PositiveSeconds = seconds, GridCoulombs = coulombs }).Cause);
        Assert.Contains("in this pass", sweep.State.Trip!.Measured, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1.0, 0.0, "41.0 s above 0 V in a minute", "40 s")]
    [InlineData(0.1, 5.5e-3, "214.5 mC into the grid in a minute", "210 mC")]
    public void The_minute_goes_over_passes(double seconds, double coulombs, string measured, string limit)
    {
        var sweep = new WatchedSweep(Limits);
        for (var n = 1; n <= 50 && sweep.Cause is null; n++)
        {
            if (n % 10 == 1) sweep.Next(new InterlockEvent.PassEnded(), n).Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, n), n);
            sweep.Block(Sound(n) with { PositiveSeconds = seconds, GridCoulombs = coulombs });
        }
        Assert.Equal((measured, limit), (sweep.State.Trip?.Measured, sweep.State.Trip?.Limit));
    }

    /// <summary>Two eighths are a quarter to the last bit, of a pass and of the minute.</summary>
    [Fact]
    public void Exactly_the_charge_that_is_let_is_let()
    {
        var sweep = new WatchedSweep(Limits with { PositiveCoulombs = 0.25 });
        sweep.Block(Sound(1) with { PositiveSeconds = 0.1, GridCoulombs = 0.125 }).Block(Sound(2) with { PositiveSeconds = 0.1, GridCoulombs = 0.125 });
        Assert.Null(sweep.Cause);
        Assert.Equal(TripCause.HostPositiveCharge, sweep.Block(Sound(3) with { PositiveSeconds = 0.1, GridCoulombs = 1e-9 }).Cause);
    }

    /// <summary>Samples that come after the end of a pass have no plan to be held to.</summary>
    [Fact]
    public void Between_passes_nothing_is_held_to_a_plan()
    {
        var sweep = new WatchedSweep(Limits).Next(new InterlockEvent.PassEnded());
        for (var n = 1; n <= 10; n++)
            Assert.Null(sweep.Block(Sound(n) with { MinSupply = 1, MinGridCurrent = -5e-3, PlateWatts = 9, ScreenWatts = 9, ClippedAtEnd = 8, GridCode = 77, MinDrive = -12, MaxDrive = -1 }).Cause);
    }
}
