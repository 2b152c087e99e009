using SweepRig.Service.Cli.Benches;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Sweeping;

/// <summary>Follows a run to its end. Asks again and again instead of subscribing: that survives a service that is slow or loses a connection.</summary>
public sealed class SweepWatch(IBench bench, ISweepDisplay display, TimeProvider time)
{
    private static readonly TimeSpan Every = TimeSpan.FromMilliseconds(100);

    /// <summary>How long a stop may take before the bench is made safe instead.</summary>
    private static readonly TimeSpan StopLimit = TimeSpan.FromSeconds(5);

    private long _next;
    private Reading? _newest;

    /// <param name="run">As started.</param>
    /// <param name="cancellationToken">Ctrl+C: the run is stopped, and its end still waited for.</param>
    /// <returns>The run as it ended.</returns>
    public Task<RunView> FollowAsync(RunView run, CancellationToken cancellationToken) => display.DuringAsync(run.PlanName, async () =>
    {
        var stopped = false;
        while (true)
        {
            if (cancellationToken.IsCancellationRequested && !stopped)
            {
                stopped = true;
                await StopAsync();
            }
            var state = await bench.StateAsync(CancellationToken.None);
            if (state.Run is not { } progress || progress.RunId != run.Id)
            {
                var ended = await bench.RunAsync(run.Id, CancellationToken.None);
                if (ended.State != "running") return ended;
            }
            else
            {
                await LookAtNewestAsync(run.Id);
                display.Show(progress, _newest);
            }
            await DelayAsync(stopped ? CancellationToken.None : cancellationToken);
        }
    });

    private async Task LookAtNewestAsync(string runId)
    {
        var page = await bench.BlocksAsync(runId, _next, CancellationToken.None);
        if (page.Blocks.Length == 0) return;
        _next = page.Blocks[^1].Sequence + page.Blocks[^1].Blocks;
        _newest = Reading.Of(page.Blocks[^1]) ?? _newest;
    }

    private async Task StopAsync()
    {
        using var limit = new CancellationTokenSource(StopLimit, time);
        try
        {
            await bench.StopAsync(limit.Token);
        }
        catch (OperationCanceledException)
        {
            await bench.MakeSafeAsync("the sweep was to stop and did not", CancellationToken.None);
        }
    }

    private async Task DelayAsync(CancellationToken cancellationToken)
    {
        try
        {
            await Task.Delay(Every, time, cancellationToken);
        }
        catch (OperationCanceledException)
        {
            // The next round stops the run.
        }
    }
}
