using SweepRig.Domain.Interlocks;
using SweepRig.Service.Contract;
using SweepRig.Service.Stations;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Mornings;

/// <summary>Each rig as it is now, in a line. Pure.</summary>
public static class RigsNow
{
    public static RigNowView[] Of(IEnumerable<Station> stations) => [.. stations.Select(s => Of(s.Name, s.Runner.State, s.Night.Picture is { IsOver: false, Night: { NeedsPerson: true } night } ? night.HeldBecause : null))];

    /// <param name="held">Why its night waits for a person; null where none does.</param>
    public static RigNowView Of(string rig, BenchState state, string? held = null)
    {
        var now = Bench(rig, state);
        if (held is null) return now;
        var goOn = "Then let its night go on: sweeprig night go-on.";
        return now.Remedy.Length > 0 ? now with { Remedy = $"{now.Remedy} {goOn}" } : now with { Text = $"{now.Text}; its night waits for you: {held}", Remedy = $"Look at the bench and mend the cause. {goOn}" };
    }

    private static RigNowView Bench(string rig, BenchState state)
    {
        var heater = state.Heater.On ? "heater on" : "heater off";
        if (state.Link != RigLinkState.Connected)
            return new(rig, "gone", "does not answer", state.LinkFault ?? "Check its cable and its power.");
        if (state.Trip is { Cause: not TripCause.PowerUp } trip)
        {
            var advice = TripGuide.For(trip.Cause);
            var figures = trip.Measured.Length == 0 ? "" : trip.Limit.Length == 0 ? $" ({trip.Measured})" : $" ({trip.Measured}, limit {trip.Limit})";
            return new(rig, "tripped", $"tripped and safe: {advice.Title}{figures}; {heater}", $"{advice.LikelyCause} {advice.Remedy}");
        }
        var permit = state.Permit is { } p ? $", positive drive permitted up to {p.Ceiling}" : "";
        return state.Run is { } run
            ? new(rig, "working", $"sweeping, {run.PointsDone} of {run.PointsPlanned} points{permit}", "")
            : new(rig, "ready", $"connected, nothing runs, {heater}{permit}", "");
    }

    /// <summary>The state of the whole bench in one line, what is wrong first.</summary>
    /// <param name="now">Empty where no service could be asked.</param>
    public static string Headline(IReadOnlyList<RigNowView> now)
    {
        if (now.Count == 0) return "No service is running here: how the rigs are now is not known. A rig whose service is gone has made itself safe.";
        var wrong = now.Where(r => r.State is "tripped" or "gone").Select(r => $"{r.Rig} {(r.State == "gone" ? "does not answer" : "is tripped")}").ToList();
        var working = now.Count(r => r.State == "working");
        var well = now.Count - wrong.Count;
        var rest = well == 0 ? "" : $"{(wrong.Count == 0 ? now.Count == 1 ? "The rig is" : $"All {well} rigs are" : well == 1 ? "the other is" : $"the other {well} are")} connected and not tripped{(working == 0 ? ", nothing runs" : $", {working} at work")}";
        return string.Join("; ", wrong.Append(rest).Where(t => t.Length > 0)) + ".";
    }
}
