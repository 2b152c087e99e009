using System.Collections.Immutable;
using System.Threading.Channels;

namespace SweepRig.Sweeps.Running;

/// <summary>
/// Hands updates to viewers. Each viewer has its own bounded buffer of blocks: a slow one skips, with the count kept, and never slows the
/// publisher or another viewer. Everything but blocks is kept for it.
/// </summary>
public sealed class LiveFeed
{
    private ImmutableArray<LiveViewer> _viewers = [];

    public int Viewers => _viewers.Length;

    /// <param name="capacity">Blocks held for a viewer that is behind, 1 or more.</param>
    public LiveViewer Subscribe(int capacity = 256)
    {
        var viewer = new LiveViewer(this, capacity);
        ImmutableInterlocked.Update(ref _viewers, static (all, one) => all.Add(one), viewer);
        return viewer;
    }

    /// <summary>Never waits.</summary>
    public void Publish(LiveUpdate update)
    {
        foreach (var viewer in _viewers) viewer.Offer(update);
    }

    internal void Remove(LiveViewer viewer) =>
        ImmutableInterlocked.Update(ref _viewers, static (all, one) => all.Remove(one), viewer);
}

/// <summary>One viewer's end of the feed. Read by one task.</summary>
public sealed class LiveViewer : IDisposable
{
    private readonly LiveFeed _feed;
    private readonly int _capacity;
    private readonly Channel<LiveUpdate> _updates = Channel.CreateUnbounded<LiveUpdate>(new() { SingleReader = true });
    private int _blocksWaiting;
    private long _skipped;

    internal LiveViewer(LiveFeed feed, int capacity)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(capacity, 1);
        _feed = feed;
        _capacity = capacity;
    }

    /// <summary>Blocks this viewer did not get because it was behind.</summary>
    public long Skipped => Interlocked.Read(ref _skipped);

    public async IAsyncEnumerable<LiveUpdate> ReadAllAsync([System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await foreach (var update in _updates.Reader.ReadAllAsync(cancellationToken).ConfigureAwait(false))
        {
            if (update is LiveUpdate.Block) Interlocked.Decrement(ref _blocksWaiting);
            yield return update;
        }
    }

    public void Dispose()
    {
        _feed.Remove(this);
        _updates.Writer.TryComplete();
    }

    internal void Offer(LiveUpdate update)
    {
        if (update is LiveUpdate.Block && Interlocked.Increment(ref _blocksWaiting) > _capacity)
        {
            // Counted here and not by a dropping channel, whose TryWrite says true for what it drops.
            Interlocked.Decrement(ref _blocksWaiting);
            Interlocked.Increment(ref _skipped);
            return;
        }
        _updates.Writer.TryWrite(update);
    }
}
