using System.Threading.Channels;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Watching;
using SweepRig.Storage;

namespace SweepRig.Service.Watching;

/// <summary>
/// The task that keeps events. While the store fails it, events wait in memory, as many as <see cref="Capacity"/>; of more the number alone is kept. Listeners hear an
/// event at once and whatever the store does, because a store in trouble is what an alarm should tell of.
/// </summary>
public sealed class Watch : IWatch, IAsyncDisposable
{
    public const int Capacity = 4096;

    private const int AtOnce = 100;
    private static readonly TimeSpan RetryAfter = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan LastTry = TimeSpan.FromSeconds(3);

    private readonly Func<IReadOnlyList<BenchEvent>, CancellationToken, Task> _keep;
    private readonly IReadOnlyList<IEventListener> _listeners;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly Channel<BenchEvent> _events = Channel.CreateBounded<BenchEvent>(new BoundedChannelOptions(Capacity) { SingleReader = true });
    private readonly CancellationTokenSource _stopped = new();
    private readonly Task _owner;
    private long _lost;
    private int _disposed;

    public Watch(EventStore store, IEnumerable<IEventListener> listeners, TimeProvider time, ILogger<Watch> logger)
        : this(store.AddAsync, listeners, time, logger)
    {
    }

    /// <param name="keep">Keeps events; throws while it cannot.</param>
    public Watch(Func<IReadOnlyList<BenchEvent>, CancellationToken, Task> keep, IEnumerable<IEventListener> listeners, TimeProvider time, ILogger logger)
    {
        (_keep, _listeners, _time, _logger) = (keep, [.. listeners], time, logger);
        _owner = Task.Run(RunAsync);
    }

    public void Post(BenchEvent happened)
    {
        foreach (var listener in _listeners) listener.Hear(happened);
        if (!_events.Writer.TryWrite(happened)) Interlocked.Increment(ref _lost);
    }

    /// <summary>Keeps what waits, if the store takes it.</summary>
    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0) return;
        _events.Writer.TryComplete();
        _stopped.CancelAfter(LastTry);
        await _owner;
        _stopped.Dispose();
    }

    private async Task RunAsync()
    {
        var batch = new List<BenchEvent>();
        while (await _events.Reader.WaitToReadAsync())
        {
            while (batch.Count < AtOnce && _events.Reader.TryRead(out var one)) batch.Add(one);
            if (Interlocked.Exchange(ref _lost, 0) is > 0 and var lost)
                batch.Add(BenchEvent.Of(_time.GetUtcNow(), null, EventSeverity.Warning, EventKind.EventsLost, $"{lost} events came while {Capacity} waited for the store, and were not kept.", "See why the store was away; the log of the service has more."));
            if (!await KeepAsync(batch)) return;
            batch.Clear();
        }
    }

    private async Task<bool> KeepAsync(List<BenchEvent> batch)
    {
        for (var told = false; ; told = true)
        {
            try
            {
                await _keep([.. batch], _stopped.Token);
                return true;
            }
            catch (OperationCanceledException) when (_stopped.IsCancellationRequested)
            {
                return GiveUp(batch);
            }
            catch (Exception fault)
            {
                // One of these is expected, a store that is away or a full disk; any other must not end the watch either.
                if (!told) _logger.LogWarning(LogEvents.EventsWait, "Events wait in memory: {Fault}", fault.Message);
                if (_events.Reader.Completion.IsCompleted || Volatile.Read(ref _disposed) != 0) return GiveUp(batch);
            }
            try
            {
                await Task.Delay(RetryAfter, _time, _stopped.Token);
            }
            catch (OperationCanceledException)
            {
                return GiveUp(batch);
            }
        }
    }

    private bool GiveUp(List<BenchEvent> batch)
    {
        while (_events.Reader.TryRead(out var one)) batch.Add(one);
        foreach (var one in batch) _logger.LogWarning(LogEvents.EventNotKept, "Not kept, as the store is away: {Utc:u} {Rig} {Kind}: {Text}", one.Utc, one.Rig, one.Kind, one.Text);
        return false;
    }
}
