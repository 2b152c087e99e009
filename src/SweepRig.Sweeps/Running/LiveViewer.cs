using System.Runtime.CompilerServices;
using System.Threading.Channels;

namespace SweepRig.Sweeps.Running;

/// <summary>
/// One viewer's end of the feed, read by one task. Its memory is bounded however long it stalls: of waiting states only the newest is kept,
/// blocks over the capacity are skipped and counted, and if even starts and ends pile up they are dropped and
/// <see cref="LiveUpdate.Missed"/> stands in their place.
/// </summary>
public sealed class LiveViewer : IDisposable
{
    /// <summary>Starts and ends of runs and passes held for a viewer that is behind.</summary>
    public const int RunUpdateCapacity = 1024;

    private readonly LiveFeed _feed;
    private readonly int _capacity;
    private readonly Channel<Waiting> _updates = Channel.CreateUnbounded<Waiting>(new() { SingleReader = true });
    private LiveUpdate.State? _state;
    private int _blocksWaiting;
    private int _runUpdatesWaiting;
    private int _missedWaiting;
    private long _skipped;

    internal LiveViewer(LiveFeed feed, int capacity)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(capacity, 1);
        _feed = feed;
        _capacity = capacity;
    }

    private enum Kind
    {
        /// <summary>The newest state, kept beside the queue.</summary>
        State,
        Block,
        Run,
        Missed,
    }

    private readonly record struct Waiting(Kind Kind, LiveUpdate? Update);

    /// <summary>Blocks this viewer did not get because it was behind.</summary>
    public long Skipped => Interlocked.Read(ref _skipped);

    public async IAsyncEnumerable<LiveUpdate> ReadAllAsync([EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await foreach (var waiting in _updates.Reader.ReadAllAsync(cancellationToken).ConfigureAwait(false))
        {
            switch (waiting.Kind)
            {
                case Kind.State:
                    yield return Interlocked.Exchange(ref _state, null)
                        ?? throw new InvalidOperationException("SweepRig bug: a state was announced to a viewer and is not there.");
                    break;
                case Kind.Block:
                    Interlocked.Decrement(ref _blocksWaiting);
                    yield return waiting.Update!;
                    break;
                case Kind.Run:
                    Interlocked.Decrement(ref _runUpdatesWaiting);
                    yield return waiting.Update!;
                    break;
                default:
                    Interlocked.Exchange(ref _missedWaiting, 0);
                    yield return new LiveUpdate.Missed();
                    break;
            }
        }
    }

    public void Dispose()
    {
        _feed.Remove(this);
        _updates.Writer.TryComplete();
    }

    internal void Offer(LiveUpdate update)
    {
        switch (update)
        {
            case LiveUpdate.State state:
                if (Interlocked.Exchange(ref _state, state) is null) _updates.Writer.TryWrite(new(Kind.State, null));
                break;
            // Counted here and not by a dropping channel, whose TryWrite says true for what it drops.
            case LiveUpdate.Block when Interlocked.Increment(ref _blocksWaiting) > _capacity:
                Interlocked.Decrement(ref _blocksWaiting);
                Interlocked.Increment(ref _skipped);
                break;
            case LiveUpdate.Block:
                _updates.Writer.TryWrite(new(Kind.Block, update));
                break;
            default:
                OfferRunUpdate(update);
                break;
        }
    }

    private void OfferRunUpdate(LiveUpdate update)
    {
        if (Interlocked.Increment(ref _runUpdatesWaiting) <= RunUpdateCapacity)
        {
            _updates.Writer.TryWrite(new(Kind.Run, update));
            return;
        }
        Interlocked.Decrement(ref _runUpdatesWaiting);
        if (Interlocked.Exchange(ref _missedWaiting, 1) == 0) _updates.Writer.TryWrite(new(Kind.Missed, null));
    }
}
