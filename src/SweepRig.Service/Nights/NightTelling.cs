using SweepRig.Domain.Watching;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Nights;

/// <summary>What of a night is worth telling to somebody who is not there. Pure.</summary>
public static class NightTelling
{
    public static BenchEvent Begun(NightOrder order, string rig, DateTimeOffset utc)
    {
        ArgumentNullException.ThrowIfNull(order);
        return BenchEvent.Of(utc, rig, EventSeverity.Note, EventKind.NightBegun, $"The night \"{order.Name}\" began with {order.Jobs.Count} jobs over {order.Sockets.Count} tubes.");
    }

    /// <summary>What happened between two states of one night.</summary>
    public static IEnumerable<BenchEvent> Between(Night before, Night after, string rig, DateTimeOffset utc)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        if (after.NeedsPerson && !before.NeedsPerson)
            yield return BenchEvent.Of(utc, rig, EventSeverity.Alarm, EventKind.NightLate, $"The night waits for a person: {after.HeldBecause}.", "Look at the bench, acknowledge a trip once its cause is gone, then let the night go on.");
        for (var i = 0; i < after.Steps.Length; i++)
        {
            if (!ReferenceEquals(before.Steps[i], after.Steps[i]) && OfStep(before.Steps[i], after.Steps[i], after, rig, utc) is { } happened) yield return happened;
        }
        foreach (var (socket, why) in after.Out.Where(o => !before.Out.ContainsKey(o.Key)))
            yield return BenchEvent.Of(utc, rig, EventSeverity.Warning, EventKind.TubeSkipped, $"{after.Setup.SeatAt(socket).Tube.Label} in socket {socket} is left alone for the rest of the night: {why}.", "Screen it again by day.") with { Tube = after.Setup.SeatAt(socket).Tube.Label };
        if (after.IsOver && !before.IsOver) yield return Ended(after, rig, utc);
    }

    private static BenchEvent? OfStep(NightStep before, NightStep after, Night night, string rig, DateTimeOffset utc)
    {
        if (before.State != StepState.Running) return null;
        var what = $"{night.JobOf(after).Name} on {night.Setup.SeatAt(after.Socket).Tube.Label}";
        var told = after.State switch
        {
            StepState.Waiting => BenchEvent.Of(utc, rig, EventSeverity.Warning, EventKind.JobFailed, $"{what} is begun anew: {after.Verdict}."),
            StepState.Failed => BenchEvent.Of(utc, rig, EventSeverity.Warning, EventKind.JobGivenUp, $"{what} failed: {after.Verdict}.", "See its runs; make it anew by day if it is wanted."),
            _ => null,
        };
        return told is null ? null : told with { Job = night.JobOf(after).Name, Tube = night.Setup.SeatAt(after.Socket).Tube.Label, RunId = after.Runs.Length > 0 ? after.Runs[^1] : null };
    }

    private static BenchEvent Ended(Night night, string rig, DateTimeOffset utc)
    {
        int Count(StepState state) => night.Steps.Count(s => s.State == state);
        var (failed, missed) = (Count(StepState.Failed), Count(StepState.NotReached));
        return BenchEvent.Of(
            utc, rig, failed + missed > 0 ? EventSeverity.Warning : EventSeverity.Note, EventKind.NightEnded,
            $"The night \"{night.Setup.Order.Name}\" is over, {night.OverBecause}: of {night.Steps.Length} steps {Count(StepState.Passed)} passed, {failed} failed, {Count(StepState.Skipped)} were left out, {missed} were not reached.",
            failed + missed > 0 ? "See what failed and why: sweeprig night show." : "");
    }
}
