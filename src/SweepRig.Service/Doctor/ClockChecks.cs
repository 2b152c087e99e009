using System.Globalization;

namespace SweepRig.Service.Doctor;

/// <summary>The wall clock. What is measured does not lean on it; dates of runs, permits and windows of the night do.</summary>
public static class ClockChecks
{
    private static readonly TimeSpan Apart = TimeSpan.FromSeconds(2);

    private const string Topic = "clock";

    /// <param name="now">By the wall clock, with the zone of this computer.</param>
    /// <param name="zone">Name of the zone.</param>
    /// <param name="newestRunUtc">Start of the newest run on record; null for none.</param>
    /// <param name="service">Start of the running service by the wall clock, and how long ago that is by a clock that nobody sets; null for none.</param>
    public static IEnumerable<Finding> Of(IMachine machine, DateTimeOffset now, string zone, DateTimeOffset? newestRunUtc, (DateTimeOffset StartedUtc, TimeSpan Ago)? service)
    {
        var time = now.ToString("yyyy-MM-dd HH:mm:ss zzz", CultureInfo.InvariantCulture);
        if (newestRunUtc > now + Apart)
            yield return Finding.Bad(Topic, $"it is {time}, but the newest run began at {newestRunUtc.Value.UtcDateTime:yyyy-MM-dd HH:mm:ss}Z", "Set the clock. Without a battery-backed clock, wait for the network time before you start the service.");
        if (service is { } s && now - (s.StartedUtc + s.Ago) is var jumped && jumped.Duration() > Apart)
            yield return Finding.Look(Topic, $"it was set {(jumped > TimeSpan.Zero ? "forward" : "back")} by {Span(jumped.Duration())} since the service started", "Runs under way kept their own time. If it happens again, look at what sets the clock.");
        yield return machine.Clock() switch
        {
            null => Finding.Look(Topic, $"{time} ({zone}); the kernel does not say whether it is synchronised", "Compare it with another clock."),
            { Synchronised: false } => Finding.Look(Topic, $"{time} ({zone}), not synchronised", "Switch network time on: sudo timedatectl set-ntp true, or install chrony. Without a network, set it by hand."),
            { MaxError: var error } => Finding.Good(Topic, $"{time} ({zone}), synchronised to {Span(error)}"),
        };
    }

    private static string Span(TimeSpan time) => time switch
    {
        { TotalSeconds: < 1 } => time.TotalMilliseconds.ToString("0.#", CultureInfo.InvariantCulture) + " ms",
        { TotalMinutes: < 5 } => time.TotalSeconds.ToString("0.#", CultureInfo.InvariantCulture) + " s",
        { TotalHours: < 5 } => time.TotalMinutes.ToString("0", CultureInfo.InvariantCulture) + " minutes",
        _ => time.TotalHours.ToString("0.#", CultureInfo.InvariantCulture) + " hours",
    };
}
