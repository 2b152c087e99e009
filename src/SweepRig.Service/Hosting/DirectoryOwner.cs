using SweepRig.Service.Calibrations;
using SweepRig.Storage;

namespace SweepRig.Service.Hosting;

/// <summary>Makes this process the only one that records into the data directory, before anything else starts, and tidies up after one that was killed.</summary>
public sealed class DirectoryOwner(BenchOptions options, RunStore store, CalibrationShelf calibrations) : IHostedLifecycleService, IDisposable
{
    private DataDirectoryLock? _lock;

    /// <exception cref="BenchStartException">Another process records into the directory, or it cannot be written.</exception>
    public async Task StartingAsync(CancellationToken cancellationToken)
    {
        var taken = DataDirectoryLock.TryTake(options.DataDirectory);
        if (!taken.IsAccepted) throw new BenchStartException(taken.Refusals[0].ToString(), badInput: false);
        _lock = taken.Value;
        await store.DeliverWaitingAsync(cancellationToken);
        await store.MarkInterruptedAsync(cancellationToken);
        await calibrations.RefreshAsync(cancellationToken);
    }

    public Task StoppedAsync(CancellationToken cancellationToken)
    {
        Dispose();
        return Task.CompletedTask;
    }

    public void Dispose()
    {
        _lock?.Dispose();
        _lock = null;
    }

    public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StartedAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StoppingAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}
