using Microsoft.Extensions.Time.Testing;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;

namespace SweepRig.Service.Tests.Live;

public sealed class BenchThrottleTests
{
    private static readonly BenchView Bench = new(
        "connected", "simulated", null, null, 0, 0, new(true, 1, 4, false), true, 28, -14, 0, null,
        new("1", 24, "fold-back", "", "", 60), new("run", "warming", 0, 1, 0, 141, 10), null, false, 3);

    public static TheoryData<string, BenchView> Ticks { get; } = new()
    {
        { "heater time", Bench with { Heater = Bench.Heater with { OnForSeconds = 2 } } },
        { "supply", Bench with { SupplyVolts = 28.01 } },
        { "drive", Bench with { DriveVolts = -13 } },
        { "counters", Bench with { DamagedFrames = 1, LostFrames = 2 } },
        { "permit countdown", Bench with { Permit = Bench.Permit! with { SecondsLeft = 59 } } },
        { "number", Bench with { Version = 4 } },
        { "progress", Bench with { Run = Bench.Run! with { PointsDone = 7, SecondsLeft = 9 } } },
    };

    public static TheoryData<string, BenchView> Changes { get; } = new()
    {
        { "link", Bench with { Link = "lost", LinkFault = "cable" } },
        { "rail", Bench with { PlateRailOn = false } },
        { "warm", Bench with { Heater = Bench.Heater with { Warm = true } } },
        { "permit over", Bench with { Permit = null } },
        { "phase", Bench with { Run = Bench.Run! with { Phase = "sweeping" } } },
        { "pass", Bench with { Run = Bench.Run! with { Pass = 1 } } },
        { "run over", Bench with { Run = null } },
        { "attendance", Bench with { Unattended = true } },
        { "trip", Bench with { Trip = new("grid-current", "", "", "", true, "", "", "", false) } },
    };

    [Theory]
    [MemberData(nameof(Ticks))]
    public void What_merely_ticks_waits_for_its_turn(string what, BenchView next)
    {
        var time = new FakeTimeProvider();
        var throttle = new BenchThrottle(time);
        Assert.True(throttle.IsDue(Bench), what);
        time.Advance(BenchThrottle.TickInterval - TimeSpan.FromMilliseconds(1));
        Assert.False(throttle.IsDue(next), what);
        time.Advance(TimeSpan.FromMilliseconds(1));
        Assert.True(throttle.IsDue(next), what);
    }

    [Theory]
    [MemberData(nameof(Changes))]
    public void What_changes_goes_at_once(string what, BenchView next)
    {
        var throttle = new BenchThrottle(new FakeTimeProvider());
        Assert.True(throttle.IsDue(Bench), what);
        Assert.True(throttle.IsDue(next), what);
        Assert.True(throttle.IsDue(Bench), what);
    }
}
