using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;

namespace SweepRig.Rigs;

/// <summary>Something that happened on a rig or on the way to it. <see cref="ReceivedAt"/> is a host monotonic timestamp of the <see cref="TimeProvider"/>.</summary>
public abstract record RigEvent(long ReceivedAt)
{
    /// <summary>Handshake done.</summary>
    public sealed record Connected(long ReceivedAt, RigIdentity Identity) : RigEvent(ReceivedAt);

    /// <summary>The link is down; a rig with a lease makes itself safe within it, a rig on a direct bus has been made safe as far as its chips answered.</summary>
    /// <param name="Reason">What happened and what to do, for people.</param>
    /// <param name="Retrying">True if the owner task tries again; false for a fault that trying again cannot mend, for example another protocol version.</param>
    public sealed record Disconnected(long ReceivedAt, string Reason, bool Retrying) : RigEvent(ReceivedAt);

    /// <summary>The rig restarted without being asked to.</summary>
    public sealed record Restarted(long ReceivedAt, ResetReason Reason) : RigEvent(ReceivedAt);

    /// <summary>Sent about ten times a second.</summary>
    public sealed record Status(long ReceivedAt, RigStatus Value) : RigEvent(ReceivedAt);

    public sealed record Block(long ReceivedAt, SampleBlock Samples) : RigEvent(ReceivedAt);

    /// <summary>The program ran to its end or was stopped.</summary>
    /// <param name="Frames">Data frames that the rig sent for the pass, so that a loss at the end is known too.</param>
    public sealed record PassEnded(long ReceivedAt, int Pass, bool Completed, int Frames) : RigEvent(ReceivedAt);

    /// <summary>The rig's latch fired.</summary>
    public sealed record Tripped(long ReceivedAt, Trip Trip) : RigEvent(ReceivedAt);

    /// <summary>Counters of damaged traffic, sent when they change, at most once a second.</summary>
    public sealed record LinkHealth(long ReceivedAt, LinkCounters Counters) : RigEvent(ReceivedAt);
}

/// <param name="At">Rig clock.</param>
/// <param name="Latched">True while the latch is fired.</param>
/// <param name="Cause">First cause, while latched.</param>
/// <param name="CausesPresent">True while a cause still holds, so that a release would be refused.</param>
/// <param name="Drive">Drive commanded, volts.</param>
/// <param name="HeaterOn">Heater supply on.</param>
/// <param name="HeaterOnFor">Time since the heater was switched on; zero when off.</param>
/// <param name="PlateRailOn">Plate supply on.</param>
/// <param name="Supply">Plate rail, volts.</param>
/// <param name="Running">True while a program runs.</param>
public sealed record RigStatus(
    RigTime At,
    bool Latched,
    TripCause? Cause,
    bool CausesPresent,
    double Drive,
    bool HeaterOn,
    TimeSpan HeaterOnFor,
    bool PlateRailOn,
    double Supply,
    bool Running);

/// <param name="Frames">Good frames received.</param>
/// <param name="Damaged">Frames dropped because check, length or coding was wrong.</param>
/// <param name="Resent">Requests sent again for want of an answer.</param>
/// <param name="Lost">Data frames known to be lost.</param>
/// <param name="Reconnects">Handshakes after the first.</param>
public sealed record LinkCounters(long Frames, long Damaged, long Resent, long Lost, long Reconnects);
