using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Interlocks.Invariants;

/// <summary>
/// What holds of every step of the host's interlocks. They lean on the data of the states alone and on no judgement of the machine, so that a
/// fault of the machine does not excuse itself. The explorer, the property tests and the runner use this one list.
/// </summary>
public static class StepInvariants
{
    private const string Overrides = "ISO 13850:2015, 4.1.1: an emergency stop overrides all other functions (from memory)";
    private const string Latching = "ISO 13850:2015, 4.1.4, IEC 60204-1:2016, 9.2.3.4.2: a stop stays until it is reset by a deliberate act, and the reset restarts nothing (from memory)";
    private const string Edge = "ISO 13849-1:2015, 5.2.2: a manual reset takes effect by a change of its signal, a button held down does nothing (from memory)";
    private const string FailSafe = "IEC 61508-2:2010, 7.4.8: on detection of a fault the safe state is taken (from memory)";
    private const string FirstOut = "ISA-18.1-1979, first-out sequences: the first alarm of a group stays told apart from those that follow (from memory)";
    private const string Permissive = "common practice of hazardous modes: by key, limited in time, and off by default; no source";

    public static IReadOnlyList<Invariant<InterlockMoment>> All { get; } =
    [
        new("safe-comes-first", "The first order of every trip, and of every order to be safe, is to make safe.", Overrides,
            (in m) => !(m.FiredNow || m.Happened is InterlockEvent.SafeOrdered) || m.Step.Orders is [InterlockOrder.MakeSafe, ..]),
        new("trip-is-recorded", "Every trip is ordered on record, once and as it is, and nothing else is.", FirstOut,
            (in m) => m.FiredNow ? RecordedOnce(m) : !m.Orders<InterlockOrder.RecordTrip>()),
        new("first-cause-stays", "A trip keeps its first cause until it is released.", FirstOut,
            (in m) => m.Before.Trip is null || m.After.Trip is null || m.Before.Trip == m.After.Trip),
        new("release-is-answered", "Nothing leads out of a trip but the rig's own word that it released, after an acknowledgement that still stands.", Latching,
            (in m) => !m.ReleasedNow || (m.Before is { Releasing: true, Limits: not null } && m.Happened is InterlockEvent.ReleaseAnswered { Released: true })),
        new("release-restarts-nothing", "After a release no sweep is armed and nothing but a look is ordered.", Latching,
            (in m) => !m.ReleasedNow || (m.After is { Armed: null, Releasing: false } && !m.Orders<InterlockOrder.Release>())),
        new("acknowledged-by-an-edge", "A release is asked for only on the way down of the button.", Edge,
            (in m) => !AsksRelease(m) || (m.Happened is InterlockEvent.AcknowledgeInput { Pressed: true } && !m.Before.AcknowledgeHeld)),
        new("acknowledged-when-gone", "A release is asked for only when the rig has said since the trip that no cause is left, is at rest, and the run is closed.", Latching,
            (in m) => !AsksRelease(m)
                || m.Before is { Trip: not null, Limits: not null, StatusSinceTrip: true, RigCausePresent: false, RigBusy: false, Armed: null, Releasing: false }),
        new("release-is-ordered", "A release is waited for exactly when it has been ordered.", Latching,
            (in m) => (m.After.Releasing && !m.Before.Releasing) == m.Orders<InterlockOrder.Release>()),
        new("armed-within-the-ceiling", "While nothing has tripped, no sweep is armed above what limits and a live permit allow.", Permissive,
            (in m) => m.After.Trip is not null || m.After.Armed is not { } armed || armed <= m.CeilingAfter + 1e-9),
        new("armed-by-asking", "A sweep is armed by its own asking alone, on a linked bench that has not tripped.", FailSafe,
            (in m) => m.After.Armed is not { } armed || armed == m.Before.Armed
                || (m.Happened is InterlockEvent.SweepArmed asked && asked.Ceiling == armed && m.Before is { Trip: null, Armed: null, Limits: not null })),
        new("armed-means-linked", "No sweep stays armed without a link, unless the trip is latched.", FailSafe,
            (in m) => m.After.Armed is null || m.After.Limits is not null || m.After.Trip is not null),
        new("permit-is-live", "A permit that has run out is no longer held.", Permissive,
            (in m) => m.After.Permit is not { } permit || m.NowUtc < permit.GrantedUtc + permit.Duration),
        new("permit-by-grant", "A permit comes by a grant alone; leaving the bench may only shorten it.", Permissive,
            (in m) => m.After.Permit is not { } permit || permit == m.Before.Permit || (m.Happened is InterlockEvent.PermitGranted granted && granted.Permit == permit) || Shortened(m, permit)),
        new("allowed-drive", "Tripped or without a link no drive is allowed; else never more than limits and a live permit.", FailSafe,
            (in m) => m.After.AllowedDrive(m.NowUtc) is { } allowed
                ? m.After is { Trip: null, Limits: not null } && allowed <= m.CeilingAfter
                : m.After is not { Trip: null, Limits: not null }),
        new("drive-above-is-noticed", "Drive that was sent above the ceiling of the moment trips.", FailSafe,
            (in m) => m.Happened is not InterlockEvent.Block block || m.Before.Limits is null
                || !(block.Summary.MaxDrive > Math.Min(m.CeilingAfter, m.After.Armed ?? double.MaxValue) + 1e-6) || m.After.Trip is not null),
        new("lost-link-trips", "A link that is lost trips.", FailSafe,
            (in m) => m.Happened is not InterlockEvent.LinkLost || (m.After.Limits is null && (m.Before.Limits is null || m.After.Trip is not null))),
        new("rig-is-heeded", "A latch of the rig that has fired trips the host too.", FailSafe,
            (in m) => !RigFired(m) || m.After.Trip is not null),
        new("safe-is-repeated", "A tripped rig that is linked anew, or is not at rest, is ordered safe again.", FailSafe,
            (in m) => m.Before.Trip is null || m.After.Trip is null || !HeardBusy(m) || m.Orders<InterlockOrder.MakeSafe>()),
    ];

    /// <summary>The first statement that a step breaks; null when all hold.</summary>
    public static Invariant<InterlockMoment>? Broken(in InterlockMoment moment)
    {
        for (var i = 0; i < All.Count; i++)
            if (!All[i].Holds(moment)) return All[i];
        return null;
    }

    private static bool AsksRelease(in InterlockMoment m) => m.Orders<InterlockOrder.Release>();

    private static bool Shortened(in InterlockMoment m, Permit permit) =>
        m.Happened is InterlockEvent.Attendance { Unattended: true } && m.Before.Permit is { } old && permit.Duration < old.Duration && permit == old with { Duration = permit.Duration };

    private static bool RecordedOnce(in InterlockMoment m)
    {
        var records = 0;
        foreach (var order in m.Step.Orders)
        {
            if (order is not InterlockOrder.RecordTrip record) continue;
            if (record.Trip != m.After.Trip) return false;
            records++;
        }
        return records == 1;
    }

    private static bool RigFired(in InterlockMoment m) => m.Happened switch
    {
        InterlockEvent.RigTripped tripped => tripped.Trip.Cause != TripCause.PowerUp,
        InterlockEvent.RigStatus status => m.Before.Limits is not null && status.LatchedBy is { } cause && cause != TripCause.PowerUp,
        _ => false,
    };

    private static bool HeardBusy(in InterlockMoment m) => m.Happened switch
    {
        InterlockEvent.LinkUp => true,
        InterlockEvent.RigStatus status => m.Before.Limits is not null && (status.Running || status.RailOn),
        _ => false,
    };
}
