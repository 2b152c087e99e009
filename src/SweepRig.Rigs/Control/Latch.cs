using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Control;

/// <summary>
/// The rig's own latch. Starts fired, keeps its first cause, never heals by itself. It is released only while no cause is left, and only by a
/// release that comes after the firing and names it: one that was stored, repeated or meant for an earlier firing does nothing.
/// </summary>
/// <param name="reset">Why it was reset: a watchdog or a want of supply is a cause of its own.</param>
internal sealed class Latch(ResetReason reset = ResetReason.PowerOn)
{
    public bool IsFired { get; private set; } = true;

    /// <summary>First cause of the latest firing.</summary>
    public TripCause Cause => First.Cause;

    /// <summary>What fired it, with figures.</summary>
    public Breach First { get; private set; } = new(
        reset switch { ResetReason.Watchdog => TripCause.Watchdog, ResetReason.BrownOut => TripCause.BrownOut, _ => TripCause.PowerUp }, 0, 0);

    /// <summary>Running number of the latest firing, from 1 at power-up; it wraps at 16 bits as on the link.</summary>
    public ushort Firing { get; private set; } = 1;

    /// <summary>Rig clock at the latest firing.</summary>
    public long FiredAt { get; private set; }

    /// <returns>True if it was clear until now; a latch that has fired keeps its cause.</returns>
    public bool Fire(long now, in Breach breach)
    {
        if (IsFired) return false;
        IsFired = true;
        First = breach;
        FiredAt = now;
        Firing++;
        return true;
    }

    /// <param name="firing">The firing that is meant.</param>
    /// <param name="causesPresent">True while anything still holds that would fire the latch.</param>
    public ReleaseResult Release(int firing, bool causesPresent)
    {
        if (firing != Firing) return ReleaseResult.OtherFiring;
        if (!IsFired) return ReleaseResult.Clear;
        if (causesPresent) return ReleaseResult.CausePresent;
        IsFired = false;
        return ReleaseResult.Clear;
    }
}

/// <summary>What became of a release.</summary>
internal enum ReleaseResult
{
    /// <summary>The latch is clear.</summary>
    Clear,

    /// <summary>Something still holds that would fire it.</summary>
    CausePresent,

    /// <summary>The release means another firing.</summary>
    OtherFiring,
}
