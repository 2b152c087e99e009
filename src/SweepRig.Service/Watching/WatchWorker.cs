using SweepRig.Domain.Watching;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stations;

namespace SweepRig.Service.Watching;

/// <summary>Watches every rig from before it starts until after it has been made safe.</summary>
public sealed class WatchWorker(BenchOptions options, StationList stations, IWatch watch, HouseWatcher house, TimeProvider time, ILogger<StationWatcher> logger) : IHostedLifecycleService, IAsyncDisposable
{
    private IReadOnlyList<StationWatcher> _watchers = [];

    public Task StartingAsync(CancellationToken cancellationToken)
    {
        house.Start();
        _watchers = [.. stations.Select(s => new StationWatcher(s.Name, s.Runner, watch, time, logger))];
        // A service that ends as it should takes its note away.
        if (File.Exists(Path.Combine(options.DataDirectory, ServiceNote.FileName)))
        {
            watch.Post(BenchEvent.Of(time.GetUtcNow(), null, EventSeverity.Warning, EventKind.ServiceRestarted, "The service has started again; the one before was not ended but killed, or the power failed.",
                "What was recorded is kept, and a run that was under way is marked incomplete. If nobody did it, see the system's log."));
        }
        return Task.CompletedTask;
    }

    public Task StoppedAsync(CancellationToken cancellationToken) => DisposeAsync().AsTask();

    public async ValueTask DisposeAsync()
    {
        foreach (var watcher in _watchers) await watcher.DisposeAsync();
        await house.DisposeAsync();
    }

    public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StoppingAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}
