using System.Collections.Concurrent;
using System.Diagnostics;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Tests.Support;

/// <summary>
/// A runner on a fake rig, an in-memory record and a clock that moves only when told. Waiting moves it in tenths of a second, with
/// a status of the rig at each, until something is so; nothing ever sleeps.
/// </summary>
internal sealed class TestBench : IAsyncDisposable
{
    private readonly LiveViewer _viewer;
    private readonly Task _watching;
    private readonly bool _bearsBugs;

    /// <param name="options">Settings other than those of the tests.</param>
    /// <param name="machine">Interlocks that are wrong, for a test of what becomes of that; the bench then bears bugs.</param>
    public TestBench(
        Func<RunnerOptions, RunnerOptions>? options = null, Func<InterlockState, InterlockEvent, DateTimeOffset, InterlockStep>? machine = null)
    {
        _bearsBugs = machine is not null;
        Time = new(new DateTimeOffset(2026, 3, 14, 9, 0, 0, TimeSpan.Zero));
        Rig = new(Time, Journal);
        Recorder = new(Journal);
        var settings = new RunnerOptions { WarmAfter = TimeSpan.FromSeconds(4), SoftwareVersion = "test" };
        Runner = new(Rig, Recorder, options?.Invoke(settings) ?? settings, Time, Log) { Machine = machine ?? InterlockMachine.Next };
        _viewer = Runner.Feed.Subscribe(100_000);
        _watching = WatchAsync();
    }

    public ConcurrentQueue<string> Journal { get; } = new();

    public FakeTimeProvider Time { get; }

    public FakeRig Rig { get; }

    public MemoryRecorder Recorder { get; }

    public SweepRunner Runner { get; }

    public ListLogger Log { get; } = new();

    public ConcurrentQueue<LiveUpdate> Shown { get; } = new();

    /// <summary>True while the test itself holds an answer back that the runner waits for.</summary>
    public Func<bool> HoldsBack { get; set; } = () => false;

    public MemoryRecorder.Recording Recording => Recorder.Runs.Last();

    public static async Task<TestBench> ConnectedAsync(Func<RunnerOptions, RunnerOptions>? options = null)
    {
        var bench = new TestBench(options);
        bench.Runner.Start();
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        return bench;
    }

    /// <summary>With a permit up to 24 V for ten minutes.</summary>
    public static async Task<TestBench> PermittedAsync(Func<RunnerOptions, RunnerOptions>? options = null)
    {
        var bench = await ConnectedAsync(options);
        Assert.Empty((await bench.Runner.GrantPermitAsync(new(24), TimeSpan.FromMinutes(10), "fold-back of SKUA-014", default)).Refusals);
        return bench;
    }

    public async Task<RunHeader> StartAsync(SweepPlan plan)
    {
        var outcome = await Runner.StartAsync(Samples.Request(plan), default);
        Assert.Empty(outcome.Refusals);
        return outcome.Value!;
    }

    /// <summary>Starts a run whose program waits for the test, and comes back when the rig has the program.</summary>
    public async Task<RunHeader> StartAndHoldAsync(SweepPlan plan)
    {
        Rig.RunsByItself = false;
        var header = await StartAsync(plan);
        await UntilAsync(_ => Rig.Program is not null);
        return header;
    }

    public async Task<RunState> EndAsync(RunHeader header)
    {
        var ended = Runner.WaitAsync(header.Id, default);
        await UntilAsync(_ => ended.IsCompleted);
        return await ended;
    }

    /// <summary>Acknowledges while time goes on: the rig may have to be heard of first.</summary>
    public async Task<Outcome<BenchState>> AcknowledgeAsync()
    {
        var acknowledged = Runner.AcknowledgeAsync(default);
        await UntilAsync(_ => acknowledged.IsCompleted);
        return await acknowledged;
    }

    public Task UntilAsync(Func<BenchState, bool> isSo) => UntilAsync(isSo, TimeSpan.FromMilliseconds(100));

    /// <param name="isSo">What is waited for.</param>
    /// <param name="step">How far the clock moves between looks; zero keeps it still.</param>
    public async Task UntilAsync(Func<BenchState, bool> isSo, TimeSpan step)
    {
        var deadline = Stopwatch.StartNew();
        while (!isSo(Runner.State))
        {
            Assert.True(deadline.Elapsed < TimeSpan.FromSeconds(20), $"Not within 20 s: {Runner.State} / {string.Join(", ", Journal)} / {string.Join(", ", Log.Lines)}");
            if (step > TimeSpan.Zero)
            {
                Time.Advance(step);
                Rig.Status();
            }
            await SettleAsync();
        }
    }

    /// <summary>
    /// Lets messages and answers through that are already on their way, so that on a busy machine the clock does not run ahead of them. A check
    /// goes through the same queue as everything else.
    /// </summary>
    public async Task SettleAsync()
    {
        for (var quiet = 0; quiet < 3;)
        {
            await Runner.CheckAsync(Samples.Request(Samples.Gentle), default);
            await Task.Yield();
            var waiting = Rig.Events.Count > 0 || (Runner.Unanswered > 0 && Rig.SafeGate is null && Rig.RunGate is null && !HoldsBack());
            quiet = waiting ? 0 : quiet + 1;
        }
    }

    public async ValueTask DisposeAsync()
    {
        var disposing = Runner.DisposeAsync().AsTask();
        // Its time limits are on the fake clock, which must not run ahead of what is under way on a busy machine: no faster than ten times the real one.
        var sinceStep = Stopwatch.StartNew();
        while (!disposing.IsCompleted)
        {
            if (sinceStep.ElapsedMilliseconds >= 10)
            {
                Time.Advance(TimeSpan.FromMilliseconds(100));
                sinceStep.Restart();
            }
            await Task.Yield();
        }
        await disposing;
        await Rig.DisposeAsync();
        _viewer.Dispose();
        await _watching;
        if (!_bearsBugs) Assert.DoesNotContain(Log.Lines, l => l.Contains("SweepRig bug", StringComparison.Ordinal));
    }

    private async Task WatchAsync()
    {
        await foreach (var update in _viewer.ReadAllAsync(default))
        {
            Shown.Enqueue(update);
            Journal.Enqueue(update switch
            {
                LiveUpdate.State { Bench.Trip: { } trip } => $"show trip {trip.Cause}",
                LiveUpdate.State => "show state",
                _ => $"show {update.GetType().Name}",
            });
        }
    }

    internal sealed class ListLogger : ILogger<SweepRunner>
    {
        public ConcurrentQueue<string> Lines { get; } = new();

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            Lines.Enqueue($"{logLevel}: {formatter(state, exception)} {exception}");
    }
}
