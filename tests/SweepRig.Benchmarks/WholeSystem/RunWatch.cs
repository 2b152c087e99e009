using System.Diagnostics;
using Microsoft.AspNetCore.SignalR.Client;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Service.Contract;

namespace SweepRig.Benchmarks.WholeSystem;

/// <summary>A viewer on the hub that notes when runs start and end and how many samples it saw.</summary>
public sealed class RunWatch : IAsyncDisposable
{
    private readonly HubConnection _hub;
    private readonly TaskCompletionSource<long> _started = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly TaskCompletionSource<(long At, string State)> _ended = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private long _samples;
    private long _skippedBlocks;

    private RunWatch(HubConnection hub)
    {
        _hub = hub;
        hub.On<RunStartedView>(nameof(IBenchViewer.RunStarted), _ => _started.TrySetResult(Stopwatch.GetTimestamp()));
        hub.On<RunEndedView>(nameof(IBenchViewer.RunEnded), end => _ended.TrySetResult((Stopwatch.GetTimestamp(), end.State)));
        hub.On<LiveBlockView>(nameof(IBenchViewer.BlockArrived), block =>
        {
            Interlocked.Add(ref _samples, block.PointIndex.Length);
            Interlocked.Exchange(ref _skippedBlocks, block.SkippedBlocks);
        });
    }

    public Task<long> Started => _started.Task;

    public Task<(long At, string State)> Ended => _ended.Task;

    public long Samples => Interlocked.Read(ref _samples);

    public long SkippedBlocks => Interlocked.Read(ref _skippedBlocks);

    public static async Task<RunWatch> ConnectAsync(string url)
    {
        var hub = new HubConnectionBuilder().WithUrl(url + "/hub/bench").AddMessagePackProtocol().Build();
        var watch = new RunWatch(hub);
        await hub.StartAsync();
        return watch;
    }

    public ValueTask DisposeAsync() => _hub.DisposeAsync();
}
