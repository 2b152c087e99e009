using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;

namespace SweepRig.Sweeps.Running;

/// <summary>Refusals by the state of the bench.</summary>
internal static class Refusals
{
    public static Refusal NotConnected(string asked, string rigName, string? fault) => new(
        "rig-not-connected", "", asked, fault is null ? $"{rigName} is not connected yet" : $"{rigName} is not connected: {fault.TrimEnd('.')}", "Check its cable and power; it is looked for all the time.");

    public static Refusal Busy(string asked, RunSession run) => new(
        "busy", "", asked, run.Hold is null ? $"run {run.Header.Id} is under way" : "a point is held for the meter", "Stop it, or wait until it has ended.");

    public static Refusal Tripped(string asked, Trip trip) => new("tripped", "", asked, Describe(trip), $"{TripGuide.For(trip.Cause).Remedy}");

    public static Refusal CauseRemains(Trip trip, bool linkIsUp) => new(
        "cause-remains", "", "acknowledge", linkIsUp ? $"{Describe(trip)}; its cause is not known to be gone" : $"{Describe(trip)}; the rig is not connected", TripGuide.For(trip.Cause).Remedy);

    public static Refusal NotReleased(Trip trip, string explanation) => new(
        "not-released", "", "acknowledge", $"{Describe(trip)}; the rig keeps its latch fired: {explanation}", TripGuide.For(trip.Cause).Remedy);

    public static string Describe(Trip trip)
    {
        var time = trip.OccurredUtc.ToString("HH:mm:ss", CultureInfo.InvariantCulture);
        var figures = (trip.Measured.Length, trip.Limit.Length) switch
        {
            (0, _) => "",
            (_, 0) => $": {trip.Measured}",
            _ => $": {trip.Measured} over {trip.Limit}",
        };
        return $"tripped {time} UTC, {TripGuide.For(trip.Cause).Title.ToLowerInvariant()}{figures}";
    }
}
