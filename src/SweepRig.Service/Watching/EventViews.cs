using SweepRig.Domain.Watching;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Storage;

namespace SweepRig.Service.Watching;

/// <summary>Events as REST, page and commands show them.</summary>
public static class EventViews
{
    public static EventView Of(StoredEvent stored)
    {
        var one = stored.Event;
        return new(stored.Number, BenchViews.Utc(one.Utc), one.Rig, BenchViews.Word(one.Severity), BenchViews.Word(one.Kind), one.Text, one.Remedy, one.RunId, one.Tube, one.Job, stored.Seen);
    }

    /// <param name="limit">At most this many events, 1 or more.</param>
    public static async Task<EventListView> ListAsync(EventStore store, EventChoice choice, int limit, CancellationToken cancellationToken)
    {
        // One more than asked tells whether there is another page.
        var found = await store.ListAsync(choice, limit + 1, cancellationToken);
        var newest = await store.ListAsync(new(), 1, cancellationToken);
        var unseen = await store.CountAsync(new(Least: EventSeverity.Warning, Unseen: true), cancellationToken);
        var page = found.Take(limit).Select(Of).ToArray();
        return new(page, newest.Count == 0 ? 0 : newest[0].Number, unseen, found.Count > limit ? page[^1].Number : null);
    }
}
