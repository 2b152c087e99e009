using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>All that the interlocks remember. Starts without link, permit or trip; nothing may be driven without a link.</summary>
public sealed record InterlockState
{
    public static InterlockState Initial { get; } = new();

    /// <summary>The first cause; stays until acknowledged and released.</summary>
    public Trip? Trip { get; init; }

    public Permit? Permit { get; init; }

    /// <summary>Highest drive of the sweep under way, volts; null for none.</summary>
    public double? Armed { get; init; }

    /// <summary>Limits of the connected rig while somebody is there; null without a link.</summary>
    public HostLimits? Limits { get; init; }

    /// <summary>Limits while nobody is; null for the same.</summary>
    public HostLimits? UnattendedLimits { get; init; }

    /// <summary>Nobody is at the bench.</summary>
    public bool IsUnattended { get; init; }

    /// <summary>Somebody has come during a run, whose limits stay as they are until its end.</summary>
    public bool AttendedAfterRun { get; init; }

    /// <summary>The limits that hold now; null without a link.</summary>
    public HostLimits? InForce => IsUnattended ? UnattendedLimits ?? Limits : Limits;

    /// <summary>True once the rig has told its status after the trip; before that nobody knows whether the cause is gone.</summary>
    public bool StatusSinceTrip { get; init; }

    /// <summary>Something still holds that would fire the rig's latch.</summary>
    public bool RigCausePresent { get; init; }

    /// <summary>By its last status the rig still ran a program or had its plate rail on.</summary>
    public bool RigBusy { get; init; }

    /// <summary>An acknowledgement was taken and the rig has not answered yet.</summary>
    public bool Releasing { get; init; }

    public bool AcknowledgeHeld { get; init; }

    /// <summary>The pass that runs or is about to; null between passes.</summary>
    public PassFacts? Pass { get; init; }

    /// <summary>What the rules remember of the blocks so far.</summary>
    public BlockMemory Memory { get; init; } = BlockMemory.None;

    public ClockMemory Clock { get; init; } = ClockMemory.None;

    public bool LinkIsUp => Limits is not null;

    public bool IsTripped => Trip is not null;

    /// <summary>True when an acknowledgement would be taken.</summary>
    public bool CauseGone => IsTripped && LinkIsUp && StatusSinceTrip && !RigCausePresent && !RigBusy && Armed is null && !Releasing;

    /// <summary>Highest drive allowed now, in volts; null while none is: tripped, or no link.</summary>
    public double? AllowedDrive(DateTimeOffset nowUtc)
    {
        if (IsTripped || InForce is not { } limits) return null;
        return Math.Min(limits.DriveCeiling, PermittedCeiling(nowUtc));
    }

    /// <summary>0 V without a permit in force.</summary>
    public double PermittedCeiling(DateTimeOffset nowUtc) => Permit is { } permit && nowUtc < permit.EndsUtc ? permit.Ceiling.Value : 0;
}
