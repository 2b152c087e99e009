using SweepRig.Service.Contract;

namespace SweepRig.Service.Live;

/// <summary>Decides which pictures of the bench a viewer is sent: each real change at once, figures that merely tick a few times a second.</summary>
public sealed class BenchThrottle(TimeProvider time)
{
    public static TimeSpan TickInterval { get; } = TimeSpan.FromMilliseconds(200);

    private BenchView? _lastWithoutTicks;
    private long _lastSent;

    public bool IsDue(BenchView bench)
    {
        var withoutTicks = WithoutTicks(bench);
        if (withoutTicks == _lastWithoutTicks && time.GetElapsedTime(_lastSent) < TickInterval) return false;
        _lastWithoutTicks = withoutTicks;
        _lastSent = time.GetTimestamp();
        return true;
    }

    private static BenchView WithoutTicks(BenchView bench) => bench with
    {
        Version = 0,
        DamagedFrames = 0,
        LostFrames = 0,
        SupplyVolts = null,
        DriveVolts = null,
        Heater = bench.Heater with { OnForSeconds = 0 },
        Permit = bench.Permit is { } permit ? permit with { SecondsLeft = 0 } : null,
        Run = bench.Run is { } run ? run with { PointsDone = 0, SecondsLeft = 0 } : null,
    };
}
