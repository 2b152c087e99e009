using SweepRig.Domain.Logging;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Watching;

/// <summary>
/// Reads the feed of one rig, as a viewer does, and tells what is worth telling. It is a viewer like any other: it can fall behind and never holds the rig up; of the states that
/// wait it sees the newest, so that a trip which was released again within that moment is told by its run alone.
/// </summary>
public sealed class StationWatcher : IAsyncDisposable
{
    private readonly string _rig;
    private readonly ISweepRunner _runner;
    private readonly IWatch _watch;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly LiveViewer _feed;
    private readonly Action<string, RunHeader?, RunState>? _runEnded;
    private readonly CancellationTokenSource _stopped = new();
    private readonly Task _reading;
    private BenchState _seen;
    private string? _serialNumber;
    private RunHeader? _run;
    private int _disposed;

    /// <param name="rig">Name that the events carry.</param>
    /// <param name="runEnded">Hears of each run that has ended, on the watcher's task; must not wait. Null for nobody.</param>
    public StationWatcher(string rig, ISweepRunner runner, IWatch watch, TimeProvider time, ILogger<StationWatcher> logger, Action<string, RunHeader?, RunState>? runEnded = null)
    {
        (_rig, _runner, _watch, _time, _logger, _runEnded) = (rig, runner, watch, time, logger, runEnded);
        // Subscribed to before the first look, so that nothing falls between the two. Blocks are of no use here.
        _feed = runner.Feed.Subscribe(capacity: 1);
        _seen = runner.State;
        _serialNumber = _seen.Identity?.SerialNumber;
        _reading = Task.Run(ReadAsync);
    }

    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0) return;
        await _stopped.CancelAsync();
        await _reading;
        _feed.Dispose();
        _stopped.Dispose();
    }

    private async Task ReadAsync()
    {
        try
        {
            await foreach (var update in _feed.ReadAllAsync(_stopped.Token)) Take(update);
        }
        catch (OperationCanceledException) when (_stopped.IsCancellationRequested)
        {
            // Stopping.
        }
        catch (Exception fault)
        {
            // Nobody awaits a watcher: without this a bug in it would show as a night without trips.
            _logger.LogCritical(LogEvents.WatchFailed, fault, "SweepRig bug: rig {Rig} is no longer watched", _rig);
            _watch.Post(BenchEvent.Of(_time.GetUtcNow(), _rig, EventSeverity.Alarm, EventKind.EventsLost, $"SweepRig bug: the rig is no longer watched: {fault.Message}", "Restart the service, and report it. The interlocks do not depend on this."));
        }
    }

    private void Take(LiveUpdate update)
    {
        switch (update)
        {
            case LiveUpdate.State state:
                See(state.Bench);
                break;
            case LiveUpdate.RunStarted started:
                _run = started.Header;
                break;
            case LiveUpdate.RunEnded ended:
                var header = _run?.Id == ended.RunId ? _run : null;
                if (ended.Final == RunState.Incomplete) Post(BenchEvent.Of(_time.GetUtcNow(), _rig, EventSeverity.Warning, EventKind.RunIncomplete, $"A run ended before it was complete{Of(header)}.", "What was recorded is kept. Sweep the tube again.") with { RunId = ended.RunId });
                _runEnded?.Invoke(_rig, header, ended.Final);
                break;
            case LiveUpdate.Missed:
                See(_runner.State);
                break;
        }
    }

    private void See(BenchState now)
    {
        foreach (var one in BenchChanges.Between(_rig, _seen, now, _time.GetUtcNow())) Post(one);
        if (now.Identity is { } identity)
        {
            if (_serialNumber is { } before && before != identity.SerialNumber) Post(BenchChanges.OfExchange(_rig, before, identity.SerialNumber, _time.GetUtcNow()));
            _serialNumber = identity.SerialNumber;
        }
        _seen = now;
    }

    private void Post(BenchEvent one) => _watch.Post(one.RunId is { } id && _run?.Id == id ? one with { Tube = _run.Tube.Label } : one);

    private static string Of(RunHeader? run) => run is null ? "" : $", of {run.Tube.Label} with {run.Plan.Name}";
}
