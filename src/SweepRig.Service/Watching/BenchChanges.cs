using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Watching;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Watching;

/// <summary>What is worth telling of the way from one picture of a rig to the next. Pure.</summary>
public static class BenchChanges
{
    public static IEnumerable<BenchEvent> Between(string rig, BenchState before, BenchState after, DateTimeOffset now)
    {
        if (after.Trip is { } trip && trip != before.Trip && trip.Cause != TripCause.PowerUp)
            yield return OfTrip(rig, trip) with { RunId = (before.Run ?? after.Run)?.RunId };
        if (after.Trip is null && before.Trip is { Cause: not TripCause.PowerUp } released)
            yield return BenchEvent.Of(now, rig, EventSeverity.Note, EventKind.TripReleased, $"The trip was released: {TripGuide.For(released.Cause).Title}.");
        foreach (var one in OfLink(rig, before, after, now)) yield return one;
        if (after.Permit is { } permit && permit.Id != before.Permit?.Id)
            yield return BenchEvent.Of(now, rig, EventSeverity.Note, EventKind.PermitGranted, $"Drive up to {permit.Ceiling} is permitted for {RunText.Seconds(permit.Duration)}: {permit.Reason}");
        else if (after.Permit is null && before.Permit is { } ended)
            yield return BenchEvent.Of(now, rig, EventSeverity.Note, EventKind.PermitEnded, $"The permit for drive up to {ended.Ceiling} has ended.");
    }

    private static BenchEvent OfTrip(string rig, Trip trip)
    {
        var advice = TripGuide.For(trip.Cause);
        var figures = trip.Measured.Length == 0 ? "" : trip.Limit.Length == 0 ? $" ({trip.Measured})" : $" ({trip.Measured}, limit {trip.Limit})";
        var kind = trip.Cause == TripCause.RecordingFailed ? EventKind.RecordingFailed : EventKind.Trip;
        // Somebody is there who ordered it, or ended the permit; nobody need be called.
        var severity = trip.Cause is TripCause.HostOrder or TripCause.PermitEnded ? EventSeverity.Warning : EventSeverity.Alarm;
        return BenchEvent.Of(trip.OccurredUtc, rig, severity, kind, $"{advice.Title}{figures}.", $"{advice.LikelyCause} {advice.Remedy}");
    }

    private static IEnumerable<BenchEvent> OfLink(string rig, BenchState before, BenchState after, DateTimeOffset now)
    {
        if (after.Link == before.Link) yield break;
        if (after.Link == RigLinkState.Lost)
        {
            yield return BenchEvent.Of(now, rig, EventSeverity.Warning, EventKind.RigGone, "The rig does not answer.",
                after.LinkFault ?? "Check its cable and its power. It is looked for all the time, and taken up again when it is back.");
        }
        else if (after.Link == RigLinkState.Connected && before.Link == RigLinkState.Lost)
        {
            yield return BenchEvent.Of(now, rig, EventSeverity.Note, EventKind.RigBack, $"The rig is back{(after.Identity is { } identity ? $": {identity.Board} {identity.SerialNumber}" : "")}.",
                after.Trip is null ? "" : "It stays tripped until somebody acknowledges.");
        }
    }

    /// <summary>Another rig answers than the last that did.</summary>
    public static BenchEvent OfExchange(string rig, string serialBefore, string serialNow, DateTimeOffset now) => BenchEvent.Of(
        now, rig, EventSeverity.Warning, EventKind.RigExchanged, $"Rig {serialNow} answers where {serialBefore} did before.",
        "If nobody exchanged them, check which cable goes where; each keeps its own calibration.");
}
