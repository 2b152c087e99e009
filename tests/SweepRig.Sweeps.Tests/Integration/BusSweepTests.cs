using System.Collections.Concurrent;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Bus;
using SweepRig.Rigs.Bus.Configuration;
using SweepRig.Rigs.Calibration;
using SweepRig.Rigs.Tests.Bus.Simulated;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Sweeps.Tests.Integration;

/// <summary>The real chain of a direct bus rig on the real clock: runner, owner task, the library's bindings, registers, tube.</summary>
[Collection(nameof(OnTheRealClock))]
public sealed class BusSweepTests
{
    private static readonly SweepPlan FarPositive = Samples.FarPositive with { Averaging = new Averaging.Count(1) };
    private static readonly SweepPlan Gentle = Samples.Gentle with { Averaging = new Averaging.Count(1) };

    [Fact]
    public async Task A_plan_swept_far_positive_is_recorded_whole_and_right()
    {
        await using var bench = new RunnerOnBuses(BusBench.Clamped);
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        Assert.Empty((await bench.Runner.GrantPermitAsync(new(24), TimeSpan.FromMinutes(5), "fold-back", default)).Refusals);
        var started = await bench.Runner.StartAsync(Samples.Request(FarPositive), default);
        Assert.Empty(started.Refusals);
        await bench.CompleteAsync(started.Value!);
        Assert.True(bench.Buses.IsSafe);
        Assert.True(bench.Buses.HeaterOn, "The heater stays on after a run.");

        var curves = CurveBuilder.Build(started.Value!, bench.Recorder.Runs.Last().Blocks);
        Assert.Equal(2, curves.Count);
        var solver = new FixtureSolver(FarPositive.Connection);
        var tube = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        var step = started.Value!.Rig.Channels[(int)RigChannel.Plate].StepVolts;
        foreach (var curve in curves)
            for (var i = 0; i < curve.Plate.Length; i++) Assert.Equal(solver.Solve(tube, curve.Drive[i]).Plate, curve.Plate[i], step);
    }

    [Fact]
    public async Task A_chip_that_falls_silent_in_mid_sweep_trips_with_its_name_and_keeps_the_record()
    {
        await using var bench = new RunnerOnBuses(BusBench.Example);
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        var started = await bench.Runner.StartAsync(Samples.Request(Gentle with { Points = 600 }), default);
        Assert.Empty(started.Refusals);
        await bench.UntilAsync(s => s.Run?.PointsDone > 8);
        bench.Buses.I2c.Silent.Add(0x49);
        Assert.Equal(RunState.Tripped, await bench.EndAsync(started.Value!));
        Assert.True(bench.Buses.IsSafe);
        Assert.Equal(TripCause.LinkLost, bench.Runner.State.Trip!.Cause);
        Assert.Contains("ADS1115 at 0x49", bench.Runner.State.LinkFault, StringComparison.Ordinal);
        Assert.True(bench.Recorder.Runs.Last().Blocks.Sum(b => b.Count) > 8);

        bench.Buses.I2c.Silent.Clear();
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        Assert.Empty((await bench.Runner.AcknowledgeAsync(default)).Refusals);
        var again = await bench.Runner.StartAsync(Samples.Request(Gentle), default);
        await bench.CompleteAsync(again.Value!);
    }

    [Fact]
    public async Task Without_a_clamp_neither_sweep_nor_permit_goes_positive_and_both_say_why()
    {
        await using var bench = new RunnerOnBuses(BusBench.Example);
        await bench.UntilAsync(s => s.Link == RigLinkState.Connected);
        var permit = Assert.Single((await bench.Runner.GrantPermitAsync(new(24), TimeSpan.FromMinutes(5), "fold-back", default)).Refusals);
        Assert.Contains("declares no hardware clamp", permit.Allowed, StringComparison.Ordinal);
        var sweep = Assert.Single((await bench.Runner.StartAsync(Samples.Request(FarPositive), default)).Refusals);
        Assert.Equal("drive-above-ceiling", sweep.Code);
        Assert.Contains("declares no hardware clamp", sweep.Allowed, StringComparison.Ordinal);
        var started = await bench.Runner.StartAsync(Samples.Request(Gentle), default);
        await bench.CompleteAsync(started.Value!);
        Assert.True(bench.Buses.DriveCodes.Max() <= bench.Buses.Config.Drive.Scale.ToCodeAtOrBelow(new(0)));
    }

    private sealed class RunnerOnBuses : IAsyncDisposable
    {
        private static readonly TimeSpan Deadline = TimeSpan.FromSeconds(60);

        private readonly BusRig _rig;
        private readonly LiveViewer _viewer;

        public RunnerOnBuses(BusConfig config)
        {
            var clock = new BenchClock(real: true);
            Buses = new(config, clock: clock);
            _rig = Buses.MakeRig();
            Runner = new(_rig, Recorder, new() { WarmAfter = TimeSpan.FromMilliseconds(200) }, clock, new TestBench.ListLogger());
            _viewer = Runner.Feed.Subscribe();
            Runner.Start();
        }

        public BusBench Buses { get; }

        public MemoryRecorder Recorder { get; } = new(new ConcurrentQueue<string>());

        public SweepRunner Runner { get; }

        public async Task UntilAsync(Func<BenchState, bool> isSo)
        {
            using var late = new CancellationTokenSource(Deadline);
            if (isSo(Runner.State)) return;
            await foreach (var _ in _viewer.ReadAllAsync(late.Token))
                if (isSo(Runner.State)) return;
        }

        public async Task<RunState> EndAsync(RunHeader header) => await Runner.WaitAsync(header.Id, default).WaitAsync(Deadline, TestContext.Current.CancellationToken);

        public async Task CompleteAsync(RunHeader header)
        {
            var state = await EndAsync(header);
            Assert.True(state == RunState.Complete, $"{state}: {Runner.State.Trip} {Runner.State.LinkFault}");
        }

        public async ValueTask DisposeAsync()
        {
            await Runner.DisposeAsync();
            await _rig.DisposeAsync();
            _viewer.Dispose();
            Assert.Equal(0, Buses.Switches.Levels);
        }
    }
}
