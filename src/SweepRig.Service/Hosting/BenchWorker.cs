using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Hosting;

/// <summary>Starts the bench with the process and makes it safe first of all when the process is to end, before viewers are let go.</summary>
public sealed class BenchWorker(SweepRunner runner) : IHostedLifecycleService
{
    public Task StartAsync(CancellationToken cancellationToken)
    {
        runner.Start();
        return Task.CompletedTask;
    }

    public Task StoppingAsync(CancellationToken cancellationToken) => runner.DisposeAsync().AsTask();

    public Task StartingAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StoppedAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}
