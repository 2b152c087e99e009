using SweepRig.Domain.Interlocks;
using SweepRig.Sweeps.Interlocks.Invariants;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>The statements on a rig at a moment, each just within and just beyond what it allows.</summary>
public sealed class BenchInvariantTests
{
    private static readonly TimeSpan Lease = TimeSpan.FromMilliseconds(301), Within = TimeSpan.FromSeconds(1), Grain = TimeSpan.FromTicks(1);

    /// <summary>A sweep at -5 V under way, as it should be.</summary>
    private static readonly BenchPicture Sweeping = new()
    {
        Drive = -5, SafeDrive = -16, RigCeiling = 8, DriveStep = 0.01, RailOn = true, Running = true, Lease = Lease, SafeWithin = Within, Unheld = Lease, Unpermitted = TimeSpan.FromHours(1),
    };

    private static readonly BenchPicture Driven = Sweeping with { Drive = 8, Unpermitted = TimeSpan.Zero };
    private static readonly BenchPicture Resting = Sweeping with { Drive = -16, RailOn = false, Running = false };

    public static TheoryData<string, string?> Cases
    {
        get
        {
            var data = new TheoryData<string, string?>();
            foreach (var (name, (_, broken)) in Pictures) data.Add(name, broken);
            return data;
        }
    }

    private static Dictionary<string, (BenchPicture Picture, string? Broken)> Pictures { get; } = new Dictionary<string, (BenchPicture, string?)>
    {
        ["sweeping"] = (Sweeping, null),
        ["half a step above the ceiling"] = (Driven with { Drive = 8.005 }, null),
        ["more than half a step"] = (Driven with { Drive = 8.0051 }, "drive-within-the-ceiling"),
        ["latched at rest"] = (Resting with { LatchedBy = TripCause.LeaseExpired }, null),
        ["latched, the drive not at rest"] = (Resting with { LatchedBy = TripCause.LeaseExpired, Drive = -15.9 }, "safe-while-latched"),
        ["latched, the rail on"] = (Resting with { LatchedBy = TripCause.LeaseExpired, RailOn = true }, "safe-while-latched"),
        ["latched, a program runs"] = (Resting with { LatchedBy = TripCause.LeaseExpired, Running = true }, "safe-while-latched"),
        ["unheld for longer than the lease"] = (Sweeping with { Unheld = Lease + Grain }, "safe-after-silence"),
        ["unheld at rest"] = (Resting with { Unheld = TimeSpan.FromDays(1) }, null),
        ["limit broken, latched, at rest"] = (Resting with { LimitBroken = true, LatchedBy = TripCause.EmergencyStop }, null),
        ["limit broken, at rest"] = (Resting with { LimitBroken = true }, "broken-limit-latches"),
        ["limit broken, latched"] = (Sweeping with { LimitBroken = true, LatchedBy = TripCause.EmergencyStop }, "safe-while-latched"),
        ["greeted at rest"] = (Resting with { Greeted = true }, null),
        ["greeted under way"] = (Sweeping with { Greeted = true }, "session-begins-at-rest"),
        ["switched off at rest"] = (Resting with { SwitchedOff = true }, null),
        ["switched off and on"] = (Resting with { SwitchedOff = true, RailOn = true }, "off-stays-off"),
        ["driven under a permit"] = (Driven, null),
        ["driven as long after it as it may be"] = (Driven with { Unpermitted = Within }, null),
        ["driven longer"] = (Driven with { Unpermitted = Within + Grain }, "no-positive-drive-without-permit"),
        ["at 0 V by half a step without one"] = (Sweeping with { Drive = 0.005 }, null),
        ["above that without one"] = (Sweeping with { Drive = 0.0051 }, "no-positive-drive-without-permit"),
        ["tripped as long as it takes"] = (Sweeping with { Tripped = Within }, null),
        ["tripped longer"] = (Sweeping with { Tripped = Within + Grain }, "safe-while-tripped"),
        ["tripped at rest"] = (Resting with { Tripped = TimeSpan.FromHours(1) }, null),
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void A_picture_breaks_what_it_should_and_nothing_else(string name, string? broken)
    {
        var picture = Pictures[name].Picture;
        Assert.Equal(broken, BenchInvariants.Broken(picture)?.Name);
        // Where a limit is broken and the rig does not rest, two statements say so.
        Assert.Equal(broken is null ? 0 : name == "limit broken, latched" ? 2 : 1, BenchInvariants.All.Count(i => !i.Holds(picture)));
    }

    [Theory]
    [InlineData(null, 1, null, 1, null, true, false, null)]
    [InlineData(null, 1, TripCause.GridCurrent, 2, null, true, false, null)]
    [InlineData(TripCause.GridCurrent, 2, TripCause.GridCurrent, 2, null, true, false, null)]
    [InlineData(TripCause.GridCurrent, 2, null, 2, 2, false, false, null)]
    [InlineData(TripCause.GridCurrent, 2, null, 2, 1, false, false, "latch-opens-by-release")]
    [InlineData(TripCause.GridCurrent, 2, null, 2, null, false, false, "latch-opens-by-release")]
    [InlineData(TripCause.GridCurrent, 2, null, 3, 2, false, false, "latch-opens-by-release")]
    [InlineData(TripCause.GridCurrent, 2, null, 2, 2, true, false, "latch-opens-when-gone")]
    [InlineData(TripCause.GridCurrent, 2, TripCause.CathodeCurrent, 2, null, true, false, "latch-keeps-first-cause")]
    [InlineData(TripCause.GridCurrent, 2, TripCause.GridCurrent, 3, null, true, false, "latch-keeps-first-cause")]
    [InlineData(TripCause.GridCurrent, 2, TripCause.PowerUp, 1, null, true, true, null)]
    [InlineData(null, 2, TripCause.PowerUp, 1, null, false, true, null)]
    [InlineData(null, 2, null, 1, null, false, true, "latch-starts-fired")]
    public void A_move_of_the_latch_breaks_what_it_should(TripCause? before, int firingBefore, TripCause? after, int firingAfter, int? named, bool present, bool reset, string? broken)
    {
        var move = new LatchMove(before, firingBefore, after, firingAfter, named, present, reset);
        Assert.Equal(broken, LatchInvariants.Broken(move)?.Name);
        Assert.Equal(broken is null ? 0 : 1, LatchInvariants.All.Count(i => !i.Holds(move)));
    }
}
