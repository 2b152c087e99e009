using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Mornings;

/// <summary>Gathers what a morning report says from what is on record; nothing of it is kept, so that it can be made of any time, also of one that is not over.</summary>
public sealed class MorningReader(RunStore runs, EventStore events, NightStore nights, FigureShelf shelf)
{
    private const int MostEvents = 20_000, MostRuns = 20_000, RunsAtOnce = 500;

    /// <summary>Each takes some of its sweeps, which are read and worked out anew.</summary>
    private const int MostTubes = 150;

    /// <param name="now">Each rig as it is; empty where no service could be asked.</param>
    /// <param name="alarms">All there are; those of other times are left out.</param>
    public async Task<MorningView> ReadAsync(MorningSpan span, DateTimeOffset made, IReadOnlyList<RigNowView> now, AlarmStatusView alarms, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(span);
        ArgumentNullException.ThrowIfNull(alarms);
        var notes = new List<string>();
        var told = await events.ListAsync(new(FromUtc: span.FromUtc, UntilUtc: span.UntilUtc), MostEvents, cancellationToken);
        if (told.Count == MostEvents) notes.Add($"There were more than {MostEvents} events; the oldest of them are not counted.");
        var recorded = await RunsAsync(span, cancellationToken);
        if (recorded.Count >= MostRuns) notes.Add($"There were more than {MostRuns} runs; the oldest of them are not counted.");
        var drifts = await DriftsAsync(recorded.NewestSweeps(), notes, cancellationToken);
        BenchEvent[] happened = [.. told.Select(e => e.Event).Reverse()];
        return new(
            BenchViews.Utc(span.FromUtc), BenchViews.Utc(span.UntilUtc), BenchViews.Utc(made), RigsNow.Headline(now), [.. now], First(now, happened), recorded.Work(), [.. recorded.Trips.Concat(TripsWithoutRun(happened)).OrderBy(t => t.Utc, StringComparer.Ordinal)], drifts,
            [.. happened.Where(e => e.Kind == EventKind.TubeSkipped).Select(e => new SkippedTubeView(e.Rig, e.Job, e.Tube, e.Text))], Kinds(happened), Within(alarms, span),
            await MorningNights.ReadAsync(nights, span, cancellationToken), [.. notes]);
    }

    private async Task<MorningRuns> RunsAsync(MorningSpan span, CancellationToken cancellationToken)
    {
        var found = new MorningRuns();
        // Ids begin with the time, so that those that began before the end of the span are older than one made of that time.
        for (string? olderThan = Guid.CreateVersion7(span.UntilUtc.AddMilliseconds(1)).ToString("N"); found.Count < MostRuns;)
        {
            var page = await runs.ListAsync(RunsAtOnce, olderThan, cancellationToken);
            foreach (var run in page.Where(r => span.Has(r.Header.StartedUtc))) found.Add(run);
            if (page.Count < RunsAtOnce || page[^1].Header.StartedUtc < span.FromUtc) break;
            olderThan = page[^1].Header.Id;
        }
        return found;
    }

    private async Task<MorningDriftView[]> DriftsAsync(RunHeader[] tubes, List<string> notes, CancellationToken cancellationToken)
    {
        if (tubes.Length > MostTubes) notes.Add($"{tubes.Length} tubes were swept; the drift of the first {MostTubes} was looked at. sweeprig drift TUBE tells of any.");
        var drifts = new List<MorningDriftView>();
        var rails = new HashSet<string>(StringComparer.Ordinal);
        foreach (var run in tubes.Take(MostTubes))
        {
            MorningDriftView? same = null;
            var changed = drifts.Count;
            foreach (var followed in await FollowedDrift.ReadAsync(runs, shelf, run, cancellationToken))
            {
                var row = new MorningDriftView(run.Tube.Label, followed.Word, followed.HasChanged, followed.Says);
                // A rail that all tubes of a rig share has one row for the rig.
                if (followed.HasChanged && (!followed.Level.OfRig || rails.Add(run.Rig.SerialNumber))) drifts.Add(row);
                if (!followed.HasChanged && !followed.Level.OfRig) same ??= row;
            }
            // Of a tube that is as it was one row is enough.
            if (drifts.Count == changed && same is not null) drifts.Add(same);
        }
        return [.. drifts.OrderByDescending(d => d.HasChanged)];
    }

    private static FirstView[] First(IReadOnlyList<RigNowView> now, BenchEvent[] happened)
    {
        // What is wrong at this moment comes before what was wrong in the night.
        var standing = now.Where(r => r.Remedy.Length > 0).Select(r => new FirstView("alarm", r.Rig, $"{r.Rig} {r.Text}.", r.Remedy, 1, "")).ToList();
        var gone = now.ToDictionary(r => r.Rig, r => r.State);
        var past = happened.Where(e => e.Severity >= EventSeverity.Warning && e.Remedy.Length > 0 && !IsPastHold(e, now, happened))
            .GroupBy(e => (e.Rig, e.Kind, e.Remedy))
            .Select(g => (Last: g.Last(), Worst: g.Max(e => e.Severity), Count: g.Count()))
            // A rig that is gone or tripped now is told above.
            .Where(g => g.Last.Rig is not { } rig || !(gone.GetValueOrDefault(rig) == "gone" && g.Last.Kind == EventKind.RigGone) && !(gone.GetValueOrDefault(rig) == "tripped" && g.Last.Kind == EventKind.Trip && standing.Any(s => s.Rig == rig && s.Remedy == g.Last.Remedy)))
            .OrderByDescending(g => g.Worst).ThenByDescending(g => g.Last.Utc)
            .Select(g => new FirstView(BenchViews.Word(g.Worst), g.Last.Rig, g.Last.Text, g.Last.Remedy, g.Count, BenchViews.Utc(g.Last.Utc)));
        return [.. standing, .. past];
    }

    /// <summary>A night that waited for a person and does so no longer: a rig that is known tells itself whether it does now, of another the end of the night tells.</summary>
    private static bool IsPastHold(BenchEvent one, IReadOnlyList<RigNowView> now, BenchEvent[] happened) =>
        one.Kind == EventKind.NightLate && (now.Any(r => r.Rig == one.Rig) || happened.Any(e => e.Kind == EventKind.NightEnded && e.Rig == one.Rig && e.Utc >= one.Utc));

    // A rig can trip while nothing is swept: then no run knows of it.
    private static IEnumerable<MorningTripView> TripsWithoutRun(BenchEvent[] happened) =>
        happened.Where(e => e is { RunId: null, Kind: EventKind.Trip or EventKind.RecordingFailed }).Select(e => new MorningTripView(BenchViews.Utc(e.Utc), e.Rig ?? "", "", e.Tube ?? "", e.Text.TrimEnd('.'), e.Remedy));

    private static EventCountView[] Kinds(BenchEvent[] happened) =>
    [
        .. happened.GroupBy(e => (e.Kind, e.Severity, e.Rig)).OrderByDescending(g => g.Key.Severity).ThenByDescending(g => g.Count()).ThenBy(g => g.Key.Kind)
            .Select(g => new EventCountView(BenchViews.Word(g.Key.Kind), BenchViews.Word(g.Key.Severity), g.Key.Rig, g.Count())),
    ];

    private static AlarmStatusView Within(AlarmStatusView alarms, MorningSpan span)
    {
        var (from, until) = (BenchViews.Utc(span.FromUtc), BenchViews.Utc(span.UntilUtc));
        bool Has(string utc) => string.CompareOrdinal(utc, from) >= 0 && string.CompareOrdinal(utc, until) < 0;
        return alarms with { Waiting = [.. alarms.Waiting.Where(w => Has(w.SinceUtc))], Done = [.. alarms.Done.Where(d => Has(d.SentUtc))] };
    }
}
