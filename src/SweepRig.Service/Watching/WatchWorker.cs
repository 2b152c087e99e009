using SweepRig.Domain.Watching;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stations;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Watching;

/// <summary>Watches every rig from before it starts until after it has been made safe.</summary>
public sealed class WatchWorker(
    BenchOptions options, StationList stations, IWatch watch, HouseWatcher house, DriftWatch drift, AlarmDesk alarms, AlarmSenders senders, TimeProvider time, ILogger<StationWatcher> logger, ILogger<Heartbeat> heartbeatLogger) : IHostedLifecycleService, IAsyncDisposable
{
    private IReadOnlyList<StationWatcher> _watchers = [];
    private Heartbeat? _heartbeat;

    public Task StartingAsync(CancellationToken cancellationToken)
    {
        house.Start();
        _watchers = [.. stations.Select(s => new StationWatcher(s.Name, s.Runner, watch, time, logger, drift.RunEnded))];
        // A service that ends as it should takes its note away.
        if (File.Exists(Path.Combine(options.DataDirectory, ServiceNote.FileName)))
        {
            watch.Post(BenchEvent.Of(time.GetUtcNow(), null, EventSeverity.Warning, EventKind.ServiceRestarted, "The service has started again; the one before was not ended but killed, or the power failed.",
                "What was recorded is kept, and a run that was under way is marked incomplete. If nobody did it, see the system's log."));
        }
        if (alarms.Faults.Count > 0)
        {
            watch.Post(BenchEvent.Of(time.GetUtcNow(), null, EventSeverity.Alarm, EventKind.AlarmsUnusable, $"{AlarmDocument.FileName} cannot be used, and no alarm goes anywhere: {string.Join(" ", alarms.Faults)}",
                "Correct the file and look at it with sweeprig alarms check."));
        }
        return Task.CompletedTask;
    }

    public Task StartedAsync(CancellationToken cancellationToken)
    {
        _heartbeat = new(() => alarms.Config.Heartbeat, stations, senders.BeatAsync, watch, time, heartbeatLogger);
        return Task.CompletedTask;
    }

    public async Task StoppingAsync(CancellationToken cancellationToken)
    {
        if (_heartbeat is not null) await _heartbeat.DisposeAsync();
    }

    public Task StoppedAsync(CancellationToken cancellationToken) => DisposeAsync().AsTask();

    public async ValueTask DisposeAsync()
    {
        if (_heartbeat is not null) await _heartbeat.DisposeAsync();
        foreach (var watcher in _watchers) await watcher.DisposeAsync();
        await house.DisposeAsync();
    }

    public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}
