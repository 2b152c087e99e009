using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>Each rule that looks at blocks, at its limit and on the number of blocks that it states.</summary>
public sealed class BlockRuleTests
{
    /// <param name="Cause">What it trips with.</param>
    /// <param name="On">Block, from 1, on which it trips.</param>
    /// <param name="Bad">Block of that number, which breaks it.</param>
    /// <param name="Near">The same within the limit.</param>
    private sealed record Case(TripCause Cause, int On, Func<int, BlockSummary> Bad, Func<int, BlockSummary> Near);

    private static readonly Dictionary<string, Case> Cases = new()
    {
        ["rail sags"] = new(TripCause.HostSupplyRange, 1, n => Sound(n) with { MinSupply = 19 }, n => Sound(n) with { MinSupply = 22 }),
        ["rail rises"] = new(TripCause.HostSupplyRange, 1, n => Sound(n) with { MaxSupply = 37 }, n => Sound(n) with { MaxSupply = 34 }),
        ["read-back"] = new(TripCause.HostReadBack, 2, n => Sound(n) with { ReadBackError = 1.5 }, n => Sound(n) with { ReadBackError = 0.5 }),
        ["reverse"] = new(TripCause.ReverseGridCurrent, 3, n => Sound(n) with { MinGridCurrent = -0.8e-3 }, n => Sound(n) with { MinGridCurrent = -0.5e-3 }),
        ["grid hot"] = new(TripCause.GridDissipation, 3, n => Sound(n) with { GridWatts = 0.101 }, n => Sound(n) with { GridWatts = 0.099 }),
        ["plate hot"] = new(TripCause.PlateDissipation, 3, n => Sound(n) with { PlateWatts = 2.01 }, n => Sound(n) with { PlateWatts = 1.99 }),
        ["screen hot"] = new(TripCause.ScreenDissipation, 3, n => Sound(n) with { ScreenWatts = 0.501 }, n => Sound(n) with { ScreenWatts = 0.499 }),
        ["clipped"] = new(TripCause.ChannelClipped, 8, n => Sound(n) with { ClippedAtEnd = 8 }, n => Sound(n) with { ClippedAtEnd = 7 }),
        ["grid stuck"] = new(TripCause.ChannelStuck, 6, n => Moving(n) with { GridCode = 77 }, n => Moving(n) with { GridCode = n }),
        ["grid stuck at the lowest code"] = new(TripCause.ChannelStuck, 6, n => Moving(n) with { GridCode = 0 }, n => Moving(n) with { GridCode = n }),
        ["plate stuck"] = new(TripCause.ChannelStuck, 6, n => Moving(n) with { PlateCode = 77 }, n => Moving(n) with { PlateCode = n / 4 }),
        ["screen stuck"] = new(TripCause.ChannelStuck, 6, n => Moving(n) with { ScreenCode = 77 }, n => Moving(n) with { ScreenCode = -1 }),
        ["read-back stuck"] = new(TripCause.ChannelStuck, 6, n => Moving(n) with { ReadBackCode = 77 }, n => Sound(n) with { ReadBackCode = 77 }),
        // 0.2 mA up to 0.52 mA by 21 % a second, and a tube that settles: the rise halves from look to look.
        ["runaway"] = new(TripCause.CurrentRunaway, 6, n => Sound(n) with { CathodeAtTop = 0.2e-3 * Math.Pow(1.21, n - 1) }, n => Sound(n) with { CathodeAtTop = 2e-3 * (1 - (0.3 * Math.Pow(0.5, n))) }),
        // 0.9 s above 0 V in each block: 40 s are over in the 45th. 5.05 mC in each: 210 mC in the 42nd.
        ["positive time"] = new(TripCause.HostPositiveTime, 45, n => Sound(n) with { PositiveSeconds = 0.9 }, n => Sound(n) with { PositiveSeconds = 0.3 }),
        // One sample a block, as of a slow plan: what lies between counts with the later one.
        ["slow positive points"] = new(TripCause.HostPositiveTime, 42, n => Slow(n) with { StartsPositive = true }, Slow),
        ["positive charge"] = new(TripCause.HostPositiveCharge, 42, n => Sound(n) with { PositiveSeconds = 0.5, GridCoulombs = 5.05e-3 }, n => Sound(n) with { PositiveSeconds = 0.3, GridCoulombs = 1e-3 }),
    };

    public static TheoryData<string> Names => [.. Cases.Keys];

    private static BlockSummary Sound(int n) => WatchedSweep.Sound(n);

    private static BlockSummary Slow(int n) => Sound(n) with { Count = 1, FirstSeconds = n };

    /// <summary>Up from -14 V by 1 V a block, of which a block covers 0.9 V.</summary>
    private static BlockSummary Moving(int n) => Sound(n) with { MinDrive = -15 + n, MaxDrive = -14.1 + n };

    [Theory]
    [MemberData(nameof(Names))]
    public void A_rule_fires_on_the_block_that_it_says_and_on_none_before(string name)
    {
        var (cause, on, bad, _) = Cases[name];
        var sweep = new WatchedSweep();
        for (var n = 1; n < on; n++) Assert.Null(sweep.Block(bad(n)).State.Trip);
        var trip = sweep.Block(bad(on)).State.Trip!;
        Assert.Equal(cause, trip.Cause);
        Assert.False(trip.ByRig);
        Assert.NotEmpty(trip.Measured);
        Assert.NotEmpty(trip.Limit);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Within_its_limit_it_never_fires(string name)
    {
        var sweep = new WatchedSweep();
        for (var n = 1; n <= 14; n++) Assert.True(sweep.Block(Cases[name].Near(n)).State.Trip is null, $"block {n}: {sweep.State.Trip}");
    }

    private static readonly HostLimits Limits = WatchedSweep.Limits;

    /// <summary>A limit is what is still let.</summary>
    private static readonly IReadOnlyDictionary<string, Func<int, BlockSummary>> AtItsLimit = new Dictionary<string, Func<int, BlockSummary>>
    {
        ["read-back"] = n => Sound(n) with { ReadBackError = Limits.ReadBackVolts + Limits.ReadBackRoomVolts },
        ["reverse"] = n => Sound(n) with { MinGridCurrent = -(Limits.ReverseGridCurrent + Limits.GridRoomVolts / WatchedSweep.Pass.StopperOhms) },
        ["grid hot"] = n => Sound(n) with { GridWatts = Limits.GridWatts },
        ["plate hot"] = n => Sound(n) with { PlateWatts = Limits.PlateShare * WatchedSweep.Pass.PlateWatts },
        ["screen hot"] = n => Sound(n) with { ScreenWatts = Limits.ScreenShare * WatchedSweep.Pass.ScreenWatts },
    };

    public static TheoryData<string> LimitNames => [.. AtItsLimit.Keys];

    [Theory]
    [MemberData(nameof(LimitNames))]
    public void At_its_very_limit_it_does_not_fire(string name)
    {
        var sweep = new WatchedSweep();
        for (var n = 1; n <= 14; n++) Assert.True(sweep.Block(AtItsLimit[name](n)).State.Trip is null, $"block {n}: {sweep.State.Trip}");
    }

    /// <summary>What acts on several blocks in a row begins anew after a good one.</summary>
    [Theory]
    [InlineData("read-back")]
    [InlineData("reverse")]
    [InlineData("grid hot")]
    [InlineData("plate hot")]
    [InlineData("screen hot")]
    [InlineData("clipped")]
    public void A_good_block_in_between_begins_the_count_anew(string name)
    {
        var (_, on, bad, _) = Cases[name];
        var sweep = new WatchedSweep();
        for (var n = 1; n < 5 * on; n++) Assert.Null(sweep.Block(n % on == 0 ? Sound(n) : bad(n)).State.Trip);
    }

    /// <summary>A screening looks at broken tubes and a hold at an empty socket: neither is held to what a sound tube does.</summary>
    [Theory]
    [InlineData("reverse")]
    [InlineData("clipped")]
    [InlineData("grid stuck")]
    [InlineData("runaway")]
    public void Only_a_sweep_is_held_to_what_a_sound_tube_does(string name)
    {
        var sweep = new WatchedSweep(pass: WatchedSweep.Pass with { IsSweep = false });
        for (var n = 1; n <= 10; n++) Assert.Null(sweep.Block(Cases[name].Bad(n)).State.Trip);
    }

    [Fact]
    public void The_minute_goes_over_passes_and_forgets_after_a_minute()
    {
        var sweep = new WatchedSweep();
        for (var n = 1; n <= 30; n++) sweep.Block(Sound(n) with { PositiveSeconds = 1 });
        sweep.Next(new InterlockEvent.PassEnded(), 30).Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, 30), 30);
        for (var n = 31; n <= 40; n++) Assert.Null(sweep.Block(Sound(n) with { PositiveSeconds = 1 }).State.Trip);
        Assert.Equal(TripCause.HostPositiveTime, sweep.Block(Sound(41) with { PositiveSeconds = 1 }).Cause);

        var later = new WatchedSweep();
        for (var n = 1; n <= 30; n++) later.Block(Sound(n) with { PositiveSeconds = 1 });
        later.Next(new InterlockEvent.PassEnded(), 95).Next(new InterlockEvent.PassBegun(WatchedSweep.Pass, 95), 95);
        for (var n = 96; n <= 130; n++) Assert.Null(later.Block(Sound(n) with { PositiveSeconds = 1 }).State.Trip);
    }

    [Fact]
    public void A_climb_is_forgotten_when_rail_or_heater_changes()
    {
        var sweep = new WatchedSweep();
        for (var n = 1; n <= 12; n++)
        {
            // Each pass at a higher rail and so with more current, as in a family of curves.
            var rail = 20 + n;
            sweep.Next(new InterlockEvent.PassEnded(), n).Next(new InterlockEvent.PassBegun(WatchedSweep.Pass with { RailVolts = rail }, n), n);
            Assert.Null(sweep.Block(Sound(n) with { CathodeAtTop = 1e-3 * Math.Pow(1.2, n), MinSupply = rail, MaxSupply = rail }).State.Trip);
        }
    }

    /// <summary>Every rule of blocks at the unattended limit: what is let by day trips by night.</summary>
    [Fact]
    public void Unattended_the_tighter_limits_count()
    {
        var night = HostLimits.Of(Samples.Rig.HardLimits, RigCalibration.Nominal(Samples.Rig), unattended: true);
        var sweep = new WatchedSweep(night);
        for (var n = 1; n <= 3; n++) sweep.Block(Sound(n) with { GridWatts = 0.08 });
        Assert.Equal(TripCause.GridDissipation, sweep.Cause);
        Assert.Equal("60 mW", sweep.State.Trip!.Limit);
    }
}
