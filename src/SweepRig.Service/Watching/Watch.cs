using System.Threading.Channels;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Watching;
using SweepRig.Service.Hosting;
using SweepRig.Storage;

namespace SweepRig.Service.Watching;

/// <summary>
/// The task that keeps events. While the store fails it they wait, as many as <see cref="Capacity"/>, in memory and in a file that the next service reads; of more the number alone is kept. Listeners
/// hear an event at once and whatever the store does, because a store in trouble is what an alarm should tell of.
/// </summary>
public sealed class Watch : IWatch, IAsyncDisposable
{
    public const int Capacity = 4096;

    private const int AtOnce = 100;
    private static readonly TimeSpan RetryAfter = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan LastTry = TimeSpan.FromSeconds(3);

    private readonly Func<IReadOnlyList<BenchEvent>, CancellationToken, Task> _keep;
    private readonly EventsWaiting _file;
    private readonly IReadOnlyList<IEventListener> _listeners;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    // Bounded by the number that waits, which counts what the task has taken out of it too.
    private readonly Channel<BenchEvent> _events = Channel.CreateUnbounded<BenchEvent>(new() { SingleReader = true });
    private readonly CancellationTokenSource _stopped = new();
    private readonly Task _owner;
    private int _waits;
    private long _lost;
    private int _disposed;

    public Watch(EventStore store, BenchOptions options, IEnumerable<IEventListener> listeners, TimeProvider time, ILogger<Watch> logger)
        : this(store.AddAsync, new(options.DataDirectory), listeners, time, logger)
    {
    }

    /// <param name="keep">Keeps events, each once however often it is given; throws while it cannot.</param>
    /// <param name="file">Where they wait meanwhile.</param>
    public Watch(Func<IReadOnlyList<BenchEvent>, CancellationToken, Task> keep, EventsWaiting file, IEnumerable<IEventListener> listeners, TimeProvider time, ILogger logger)
    {
        (_keep, _file, _listeners, _time, _logger) = (keep, file, [.. listeners], time, logger);
        _owner = Task.Run(RunAsync);
    }

    public void Post(BenchEvent happened)
    {
        foreach (var listener in _listeners) listener.Hear(happened);
        if (Interlocked.Increment(ref _waits) <= Capacity && _events.Writer.TryWrite(happened)) return;
        Interlocked.Decrement(ref _waits);
        Interlocked.Increment(ref _lost);
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
        var waiting = LeftBehind();
        while (waiting.All.Count > 0 || await _events.Reader.WaitToReadAsync())
        {
            Take(waiting);
            if (!await KeepAsync(waiting)) return;
        }
    }

    private Waiting LeftBehind()
    {
        try
        {
            var (events, damaged) = _file.Read();
            if (damaged > 0) _logger.LogWarning(LogEvents.EventsDamaged, "{Count} lines of {File} are no events and are left out", damaged, _file.Place);
            Interlocked.Add(ref _waits, events.Count);
            return new([.. events], events.Count) { IsFiled = events.Count + damaged > 0 };
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            _logger.LogWarning(LogEvents.EventsDamaged, "Events that the service before left in {File} cannot be read: {Fault}", _file.Place, fault.Message);
            return new([], 0);
        }
    }

    private void Take(Waiting waiting)
    {
        while (_events.Reader.TryRead(out var one)) waiting.All.Add(one);
        var lost = Interlocked.Exchange(ref _lost, 0);
        if (lost == 0) return;
        Interlocked.Increment(ref _waits);
        waiting.All.Add(BenchEvent.Of(
            _time.GetUtcNow(), null, EventSeverity.Warning, EventKind.EventsLost, $"{lost} events came while {Capacity} waited for the store, and were not kept.", "See why the store was away; the log of the service has more."));
    }

    /// <returns>False when the service ends before the store has taken all.</returns>
    private async Task<bool> KeepAsync(Waiting waiting)
    {
        for (var told = false; waiting.All.Count > 0;)
        {
            try
            {
                var some = waiting.All[..Math.Min(AtOnce, waiting.All.Count)];
                await _keep(some, _stopped.Token);
                waiting.All.RemoveRange(0, some.Count);
                waiting.InFile = Math.Max(0, waiting.InFile - some.Count);
                Interlocked.Add(ref _waits, -some.Count);
                continue;
            }
            catch (OperationCanceledException) when (_stopped.IsCancellationRequested)
            {
                return GiveUp(waiting);
            }
            catch (Exception fault)
            {
                // One of these is expected, a store that is away or a full disk; any other must not end the watch either.
                if (!told) _logger.LogWarning(LogEvents.EventsWait, "Events wait: {Fault}", fault.Message);
                told = true;
                if (_events.Reader.Completion.IsCompleted || Volatile.Read(ref _disposed) != 0) return GiveUp(waiting);
            }
            Take(waiting);
            PutInFile(waiting);
            try
            {
                await Task.Delay(RetryAfter, _time, _stopped.Token);
            }
            catch (OperationCanceledException)
            {
                return GiveUp(waiting);
            }
        }
        Clear(waiting);
        return true;
    }

    private void PutInFile(Waiting waiting)
    {
        if (waiting.InFile == waiting.All.Count) return;
        try
        {
            _file.Add(waiting.All.Skip(waiting.InFile));
            (waiting.InFile, waiting.IsFiled) = (waiting.All.Count, true);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            // With each doubling once more: the last such line tells within a factor of two what a service that dies now takes along.
            var alone = waiting.All.Count - waiting.InFile;
            if (alone < 2 * waiting.ToldAlone) return;
            waiting.ToldAlone = alone;
            _logger.LogWarning(LogEvents.EventsInMemory, "{Count} events wait in memory alone, and are lost if the service dies: {Fault}", alone, fault.Message);
        }
    }

    private void Clear(Waiting waiting)
    {
        (waiting.InFile, waiting.ToldAlone) = (0, 0);
        if (!waiting.IsFiled) return;
        try
        {
            _file.Clear();
            waiting.IsFiled = false;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            // What is in it is in the store, which keeps each once: no harm if it is read again.
            _logger.LogWarning(LogEvents.EventsDamaged, "{File} cannot be taken away: {Fault}", _file.Place, fault.Message);
        }
    }

    private bool GiveUp(Waiting waiting)
    {
        Take(waiting);
        PutInFile(waiting);
        if (waiting.InFile > 0) _logger.LogWarning(LogEvents.EventsWait, "{Count} events wait in {File} and go to the store with the next start", waiting.InFile, _file.Place);
        foreach (var one in waiting.All.Skip(waiting.InFile)) _logger.LogWarning(LogEvents.EventNotKept, "Not kept, as the store is away: {Utc:u} {Rig} {Kind}: {Text}", one.Utc, one.Rig, one.Kind, one.Text);
        return false;
    }

    /// <summary>What waits; the task's own.</summary>
    private sealed class Waiting(List<BenchEvent> all, int inFile)
    {
        public List<BenchEvent> All { get; } = all;

        /// <summary>So many of the first are in the file.</summary>
        public int InFile { get; set; } = inFile;

        /// <summary>There is a file.</summary>
        public bool IsFiled { get; set; }

        /// <summary>How many were last told of as in memory alone.</summary>
        public int ToldAlone { get; set; }
    }
}
