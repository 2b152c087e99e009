using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Screening;

namespace SweepRig.Analysis.Health;

/// <summary>From the runs of a screening to a report. Pure.</summary>
public static class HealthFinder
{
    private static readonly string[] NeverSeen =
    [
        "heater to cathode: the cathode is at 0 V and the rig has no channel in the heater line, so neither a short nor a leak there shows",
        "primary emission of grid 1: it needs the heater raised above its rating for minutes, and is the last test of a tube where it is made (MIL-PRF-1/1330G, note 3)",
        "breakdown and leakage that begin only at the voltages of the books (100 to 300 V)",
        "slow poisoning of the cathode at cut-off: it takes hours; screen again after them and compare",
    ];

    /// <summary>Trips that a tube can cause; the others are of the bench, and say nothing of the tube.</summary>
    private static readonly TripCause[] ByTube =
    [
        TripCause.GridCurrent, TripCause.CathodeCurrent, TripCause.SupplyRange, TripCause.DriveReadBack, TripCause.HostGridCurrent, TripCause.HostCathodeCurrent, TripCause.HostSupplyRange,
        TripCause.ReverseGridCurrent, TripCause.GridDissipation, TripCause.PlateDissipation, TripCause.ScreenDissipation, TripCause.CurrentRunaway,
    ];

    /// <param name="runs">All of one screening, in the order they were made; at least one.</param>
    /// <exception cref="ArgumentException">There are no runs, or they belong to different screenings or tubes.</exception>
    public static HealthReport Find(IReadOnlyList<ScreeningRun> runs)
    {
        ArgumentNullException.ThrowIfNull(runs);
        if (runs.Count == 0) throw new ArgumentException("No runs of a screening were given. Give all runs of one screening.", nameof(runs));
        var header = runs[0].Header;
        if (runs.FirstOrDefault(r => r.Header.Screening?.ScreeningId != header.Screening?.ScreeningId || r.Header.Tube != header.Tube) is { } stray)
            throw new ArgumentException($"Run {stray.Header.Id} of tube {stray.Header.Tube.Label} belongs to another screening than run {header.Id} of tube {header.Tube.Label}. Give the runs of one screening.", nameof(runs));

        var screened = new Screened(runs);
        List<HealthItem> items =
        [
            .. Insulation.Items(screened), .. Emission.Items(screened), CathodeResistance.Item(screened), .. ReverseGridCurrent.Items(screened),
            .. Warming.Items(screened), .. Sounding.Items(screened),
        ];
        var ended = EndedEarly(runs);
        var verdict = items.Any(i => i.Verdict == HealthVerdict.Bad) || runs.SelectMany(r => r.Trips).Any(t => ByTube.Contains(t.Cause)) ? HealthVerdict.Bad
            : ended is not null ? HealthVerdict.NotSeen
            : items.Any(i => i.Verdict == HealthVerdict.Doubtful) ? HealthVerdict.Doubtful
            : items.Any(i => i.Verdict == HealthVerdict.Good) ? HealthVerdict.Good
            : HealthVerdict.NotSeen;
        List<string> reasons = [.. items.Where(i => i.Verdict == verdict && verdict is HealthVerdict.Bad or HealthVerdict.Doubtful).SelectMany(i => i.Reasons)];
        if (ended is not null) reasons.Add(ended);
        return new(
            header.Screening!.ScreeningId, header.Tube, screened.Connection, verdict, reasons, items,
            [.. items.Where(i => i.Verdict == HealthVerdict.NotSeen).SelectMany(i => i.Reasons), .. NeverSeen]);
    }

    private static string? EndedEarly(IReadOnlyList<ScreeningRun> runs)
    {
        if (runs.FirstOrDefault(r => r.Trips.Count > 0) is { } tripped)
        {
            var trip = tripped.Trips[0];
            return $"an interlock fired during \"{tripped.Header.Plan.Name}\": {trip.Cause}{(trip.Measured.Length > 0 ? $", {trip.Measured}" : "")}{(ByTube.Contains(trip.Cause) ? "" : "; that is the bench, not the tube: acknowledge it and screen again")}";
        }
        return runs.FirstOrDefault(r => Screened.Unfit(r) is not null) is { } unfit ? $"\"{unfit.Header.Plan.Name}\" {Screened.Unfit(unfit)}: screen again" : null;
    }
}
