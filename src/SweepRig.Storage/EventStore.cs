using Microsoft.EntityFrameworkCore;
using SweepRig.Domain.Watching;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <param name="Number">Higher for what was kept later.</param>
/// <param name="Seen">Somebody has said that he saw it.</param>
public sealed record StoredEvent(long Number, BenchEvent Event, bool Seen);

/// <summary>Which events are wanted; what is null or false leaves nothing out.</summary>
/// <param name="AfterNumber">Only those kept after this one.</param>
/// <param name="BeforeNumber">Only those kept before this one.</param>
/// <param name="FromUtc">Only those that happened then or later.</param>
/// <param name="UntilUtc">Only those that happened before.</param>
/// <param name="Least">Only those that matter as much or more.</param>
/// <param name="Unseen">Only those that nobody has seen.</param>
public sealed record EventChoice(
    long? AfterNumber = null, long? BeforeNumber = null, DateTimeOffset? FromUtc = null, DateTimeOffset? UntilUtc = null, EventSeverity Least = EventSeverity.Note,
    string? Rig = null, EventKind? Kind = null, bool Unseen = false);

/// <summary>
/// The events of a bench, in the store of the runs. In a shared store each bench sees its own. Safe from any thread; throws <see cref="RunStoreException"/> as the run store does.
/// </summary>
public sealed class EventStore(RunStore runs)
{
    private readonly Lazy<string> _bench = new(() => BenchName.Of(runs.Place.DataDirectory));

    /// <summary>Keeps events, in their order; one that is kept already stays as it is.</summary>
    public Task AddAsync(IReadOnlyList<BenchEvent> events, CancellationToken cancellationToken) => runs.InTurnAsync(
        async context =>
        {
            var ids = events.Select(Id).ToList();
            var kept = await context.Events.Where(e => ids.Contains(e.Id)).Select(e => e.Id).ToListAsync(cancellationToken).ConfigureAwait(false);
            // One after another, because rows that are saved together need not get their numbers in order.
            foreach (var one in events.DistinctBy(e => e.Id).Where(e => !kept.Contains(Id(e))))
            {
                context.Events.Add(RowOf(one));
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
            }
            return (true, true);
        },
        cancellationToken);

    /// <summary>Events, the newest first.</summary>
    /// <param name="limit">At most this many, 1 or more.</param>
    public Task<IReadOnlyList<StoredEvent>> ListAsync(EventChoice choice, int limit, CancellationToken cancellationToken)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(limit, 1);
        return runs.OnContextAsync<IReadOnlyList<StoredEvent>>(
            async context => (await Chosen(context, choice).OrderByDescending(e => e.Number).Take(limit).ToListAsync(cancellationToken).ConfigureAwait(false)).ConvertAll(Read),
            cancellationToken);
    }

    /// <summary>How many events there are.</summary>
    public Task<int> CountAsync(EventChoice choice, CancellationToken cancellationToken) =>
        runs.OnContextAsync(context => Chosen(context, choice).CountAsync(cancellationToken), cancellationToken);

    /// <summary>Notes that somebody has seen all events up to a number.</summary>
    /// <returns>How many were not seen before.</returns>
    public Task<int> MarkSeenAsync(long upTo, CancellationToken cancellationToken) => runs.InTurnAsync(
        async context => (await Own(context).Where(e => e.Number <= upTo && !e.Seen).ExecuteUpdateAsync(set => set.SetProperty(e => e.Seen, true), cancellationToken).ConfigureAwait(false), true),
        cancellationToken);

    private IQueryable<EventRow> Own(RunContext context)
    {
        if (!runs.Place.IsShared) return context.Events;
        var bench = _bench.Value;
        return context.Events.Where(e => e.Bench == bench);
    }

    private IQueryable<EventRow> Chosen(RunContext context, EventChoice choice)
    {
        var query = Own(context).AsNoTracking();
        if (choice.AfterNumber is { } after) query = query.Where(e => e.Number > after);
        if (choice.BeforeNumber is { } before) query = query.Where(e => e.Number < before);
        if (choice.FromUtc is { } from)
        {
            var text = RunRows.Text(from);
            query = query.Where(e => string.Compare(e.At, text) >= 0);
        }
        if (choice.UntilUtc is { } until)
        {
            var text = RunRows.Text(until);
            query = query.Where(e => string.Compare(e.At, text) < 0);
        }
        if (choice.Least > EventSeverity.Note)
        {
            var words = Enum.GetValues<EventSeverity>().Where(s => s >= choice.Least).Select(s => s.ToString()).ToList();
            query = query.Where(e => words.Contains(e.Severity));
        }
        if (choice.Rig is { } rig) query = query.Where(e => e.Rig == rig);
        if (choice.Kind?.ToString() is { } kind) query = query.Where(e => e.Kind == kind);
        return choice.Unseen ? query.Where(e => !e.Seen) : query;
    }

    private EventRow RowOf(BenchEvent one) => new()
    {
        Id = Id(one),
        Bench = _bench.Value,
        At = RunRows.Text(one.Utc),
        Rig = one.Rig,
        Severity = one.Severity.ToString(),
        Kind = one.Kind.ToString(),
        Text = one.Text,
        Remedy = one.Remedy,
        Run = one.RunId,
        Tube = one.Tube,
        Job = one.Job,
    };

    private StoredEvent Read(EventRow row)
    {
        if (!Guid.TryParse(row.Id, out var id) || !Enum.TryParse<EventSeverity>(row.Severity, out var severity) || !Enum.TryParse<EventKind>(row.Kind, out var kind))
            throw new RunStoreException(runs.Name, $"event {row.Number} is of the unknown kind '{row.Severity} {row.Kind}'.", "Use a newer SweepRig, or restore the file from a backup.");
        return new(row.Number, new(id, RunRows.Time(row.At), row.Rig, severity, kind, row.Text, row.Remedy) { RunId = row.Run, Tube = row.Tube, Job = row.Job }, row.Seen);
    }

    private static string Id(BenchEvent one) => one.Id.ToString("N");
}
