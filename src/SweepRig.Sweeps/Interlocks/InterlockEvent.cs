using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>What the interlocks hear of.</summary>
public abstract record InterlockEvent
{
    private InterlockEvent()
    {
    }

    /// <summary>Handshake done.</summary>
    /// <param name="Unattended">Limits that hold while nobody is at the bench; null for the same.</param>
    public sealed record LinkUp(HostLimits Limits, HostLimits? Unattended = null) : InterlockEvent;

    /// <summary>The rig works on another calibration from now on, and its limits with it.</summary>
    /// <param name="Unattended">As for <see cref="LinkUp"/>.</param>
    public sealed record LimitsChanged(HostLimits Limits, HostLimits? Unattended = null) : InterlockEvent;

    /// <summary>Somebody is at the bench, or nobody is. Tighter limits hold at once; looser ones only after the run under way.</summary>
    public sealed record Attendance(bool Unattended) : InterlockEvent;

    /// <param name="Reason">For people.</param>
    public sealed record LinkLost(string Reason) : InterlockEvent;

    public sealed record RigRestarted(ResetReason Reason) : InterlockEvent;

    public sealed record RigTripped(Trip Trip) : InterlockEvent;

    /// <summary>The rig's regular status. A fired latch of which no trip was heard counts as one.</summary>
    /// <param name="LatchedBy">First cause of the rig's latch; null while it is clear.</param>
    /// <param name="CausesPresent">True while something still holds that would fire it.</param>
    /// <param name="Running">True while the rig runs a program.</param>
    /// <param name="RailOn">True while a plate rail that the rig can switch is on.</param>
    public sealed record RigStatus(TripCause? LatchedBy, bool CausesPresent, bool Running = false, bool RailOn = false) : InterlockEvent
    {
        /// <summary>How long the heater has been on, seconds; 0 while it is off, NaN where nothing is said of it.</summary>
        public double HeaterSeconds { get; init; } = double.NaN;

        /// <summary>Rig clock, seconds; NaN where it is not told.</summary>
        public double RigSeconds { get; init; } = double.NaN;

        /// <summary>When it was received, monotonic seconds of the host.</summary>
        public double HostSeconds { get; init; } = double.NaN;

        public bool AtRest => !Running && !RailOn;
    }

    /// <param name="HostSeconds">When it was received, monotonic seconds of the host; NaN where it is not told.</param>
    public sealed record Block(BlockSummary Summary, double HostSeconds = double.NaN) : InterlockEvent;

    /// <summary>A program is sent off.</summary>
    public sealed record PassBegun(PassFacts Pass, double HostSeconds) : InterlockEvent;

    /// <summary>Its end was heard of, or waited for no longer.</summary>
    public sealed record PassEnded : InterlockEvent;

    /// <summary>What the clocks say, some ten times a second.</summary>
    /// <param name="HostSeconds">Monotonic seconds of the host.</param>
    /// <param name="WallSeconds">Wall clock of the host.</param>
    /// <param name="PassRuns">True when the rig's last status says that the pass runs.</param>
    public sealed record Clocks(double HostSeconds, double WallSeconds, bool PassRuns) : InterlockEvent;

    /// <summary>The rail is on and does not come to what the plan says.</summary>
    public sealed record RailOff(string Measured, string Planned) : InterlockEvent;

    /// <param name="Why">For people, names the file and the remedy.</param>
    public sealed record RecordingFailed(string Why) : InterlockEvent;

    public sealed record PermitGranted(Permit Permit) : InterlockEvent;

    /// <summary>Ended by hand.</summary>
    public sealed record PermitEnded : InterlockEvent;

    /// <summary>Time has passed.</summary>
    public sealed record Tick : InterlockEvent;

    /// <summary>The operator, or something that went wrong without an interlock of its own, wants the rig safe.</summary>
    /// <param name="Reason">For people.</param>
    public sealed record SafeOrdered(string Reason) : InterlockEvent;

    /// <summary>The acknowledge button as it is now; only its way down counts.</summary>
    public sealed record AcknowledgeInput(bool Pressed) : InterlockEvent;

    /// <summary>What the rig made of a release.</summary>
    public sealed record ReleaseAnswered(bool Released) : InterlockEvent;

    /// <summary>A sweep asks to be let run.</summary>
    /// <param name="Ceiling">Highest drive that it sends, volts.</param>
    public sealed record SweepArmed(double Ceiling) : InterlockEvent;

    /// <summary>The run is closed and on record.</summary>
    public sealed record SweepEnded : InterlockEvent;
}
