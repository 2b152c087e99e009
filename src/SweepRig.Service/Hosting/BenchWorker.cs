using SweepRig.Service.Stations;

namespace SweepRig.Service.Hosting;

/// <summary>Starts all rigs with the process and makes them safe first of all when the process is to end, before viewers are let go.</summary>
public sealed class BenchWorker(StationList stations, BenchOptions options) : IHostedLifecycleService
{
    public Task StartAsync(CancellationToken cancellationToken)
    {
        foreach (var station in stations) station.Start(options.TakesUpNights);
        return Task.CompletedTask;
    }

    public Task StoppingAsync(CancellationToken cancellationToken) => stations.MakeSafeAndEndAsync();

    public Task StartingAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StoppedAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}
