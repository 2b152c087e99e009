using System.Collections.Concurrent;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Link;
using SweepRig.Rigs.Simulated;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;
using SweepRig.Wire.Line;

namespace SweepRig.Sweeps.Tests.Integration;

/// <summary>The real chain on the real clock: runner, link host, frames over a pipe, simulated rig. Its cathodes warm a thousand times faster than real ones.</summary>
internal sealed class SimulatedBench : IAsyncDisposable
{
    private static readonly TimeSpan Deadline = TimeSpan.FromSeconds(60);

    private readonly LiveViewer _viewer;
    private readonly LinkRig _link;

    public SimulatedBench(SimulatedRigOptions? options = null)
    {
        Rig = new((options ?? new()) with { HeaterSpeed = 1000 }, TimeProvider.System);
        Port = new(new SimulatedRigPort(Rig), new(LineRates.Clean, 1), ToHost, TimeProvider.System);
        _link = new(Port, TimeProvider.System, NullLogger<LinkRig>.Instance);
        Recorder = new(new ConcurrentQueue<string>());
        Runner = new(_link, Recorder, new() { WarmAfter = TimeSpan.FromMilliseconds(200) }, TimeProvider.System, new TestBench.ListLogger());
        _viewer = Runner.Feed.Subscribe();
        Runner.Start();
    }

    public SimulatedRig Rig { get; }

    public LineDamage ToHost { get; } = new(LineRates.Clean, 2);

    public FaultyPort Port { get; }

    public MemoryRecorder Recorder { get; }

    public SweepRunner Runner { get; }

    public MemoryRecorder.Recording Recording => Recorder.Runs.Last();

    /// <summary>Reads the feed until the bench is as wanted; fails at the deadline.</summary>
    public async Task UntilAsync(Func<BenchState, bool> isSo)
    {
        using var late = new CancellationTokenSource(Deadline);
        if (isSo(Runner.State)) return;
        await foreach (var _ in _viewer.ReadAllAsync(late.Token))
            if (isSo(Runner.State)) return;
    }

    public async Task<RunState> EndAsync(RunHeader header) => await Runner.WaitAsync(header.Id, default).WaitAsync(Deadline, TestContext.Current.CancellationToken);

    public async ValueTask DisposeAsync()
    {
        await Runner.DisposeAsync();
        await _link.DisposeAsync();
        await Port.DisposeAsync();
        await Rig.DisposeAsync();
        _viewer.Dispose();
    }
}
