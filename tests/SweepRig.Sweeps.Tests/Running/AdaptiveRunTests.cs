using System.Collections.Concurrent;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Running;

/// <summary>Adaptive sweeps through the runner, with a chooser that the test holds in its hand.</summary>
public sealed class AdaptiveRunTests
{
    private static readonly SweepPlan Plan = Samples.Gentle with { Points = 30, Direction = SweepDirection.Up, Repeats = 1, Adaptive = new(new(1e-3), 16, 4) };

    private sealed class Chooser(params double[][] batches)
    {
        private int _asked;

        /// <summary>Points that were on the table at each choice.</summary>
        public ConcurrentQueue<int> Points { get; } = new();

        public TaskCompletionSource? Gate { get; set; }

        public async Task<ChosenDrives> NextAsync(RunHeader run, IReadOnlyList<SampleBlock> blocks, int count, CancellationToken cancellation)
        {
            Points.Enqueue(blocks.Sum(b => b.Count));
            if (Gate is { } gate) await gate.Task.WaitAsync(cancellation);
            var next = _asked < batches.Length ? batches[_asked++] : [];
            return new([.. next.Take(count)], -0.6, 2e-3);
        }
    }

    private static async Task<TestBench> BenchAsync(Chooser chooser)
    {
        var bench = await TestBench.ConnectedAsync(o => o with { ChooseDrives = chooser.NextAsync });
        bench.HoldsBack = () => chooser.Gate is { Task.IsCompleted: false };
        return bench;
    }

    [Fact]
    public async Task Batches_are_passes_of_one_run_at_the_drives_chosen_and_it_ends_when_nothing_is_wanted_any_more()
    {
        var chooser = new Chooser([-1.2, -0.8, -0.6, -0.4], [-0.6, -0.6, -0.6, -0.5]);
        await using var bench = await BenchAsync(chooser);
        var header = await bench.StartAsync(Plan);
        Assert.Equal([16, 4, 4, 4, 2], header.Passes.Select(p => p.Points));
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));

        var recording = bench.Recording;
        Assert.Equal(24, recording.Blocks.Sum(b => b.Count));
        Assert.Empty(recording.Gaps);
        Assert.Equal([16, 20, 24], chooser.Points);
        double[] Drives(int pass) => [.. recording.Blocks.Where(b => b.Pass == pass).SelectMany(b => b.DriveCode).Select(c => Samples.Rig.Drive.ToVolts(c))];
        var step = Samples.Rig.Drive.StepVolts;
        Assert.All(Drives(1).Zip([-1.2, -0.8, -0.6, -0.4]), d => Assert.Equal(d.Second, d.First, step));
        Assert.All(Drives(2).Zip([-0.6, -0.6, -0.6, -0.5]), d => Assert.Equal(d.Second, d.First, step));
        await bench.UntilAsync(_ => bench.Shown.OfType<LiveUpdate.RunEnded>().Any());
        Assert.Equal([0, 1, 2], bench.Shown.OfType<LiveUpdate.PassEnded>().Select(p => p.Pass.Index));
        Assert.False(bench.Rig.Supplies.PlateRail);
    }

    [Fact]
    public async Task It_ends_when_its_points_are_used_up()
    {
        double[] more = [-2, -1.5, -1, -0.5];
        await using var bench = await BenchAsync(new(more, more, more, more, more));
        var header = await bench.StartAsync(Plan);
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));
        Assert.Equal(30, bench.Recording.Blocks.Sum(b => b.Count));
    }

    [Fact]
    public async Task What_is_chosen_outside_the_plan_is_brought_within()
    {
        await using var bench = await BenchAsync(new([-60, 12, 24, 60]));
        var header = await bench.StartAsync(Plan);
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));
        // Never above 0 V: the plan goes no higher, and there is no permit.
        Assert.True(Samples.Rig.Drive.ToVolts(bench.Rig.HighestCode) <= 0);
        Assert.Null(bench.Runner.State.Trip);
    }

    [Fact]
    public async Task While_the_next_drives_are_chosen_the_bench_answers_and_shows_how_far_it_is()
    {
        var chooser = new Chooser([-1.2, -0.8, -0.6, -0.4]) { Gate = new() };
        await using var bench = await BenchAsync(chooser);
        var header = await bench.StartAsync(Plan);
        await ChoosingAsync(bench, chooser);
        Assert.Equal(16, bench.Runner.State.Run!.PointsDone);
        Assert.Equal(RunPhase.Sweeping, bench.Runner.State.Run.Phase);
        Assert.Equal(new AdaptiveProgress(null, null, 1e-3), bench.Runner.State.Run.Adaptive);
        Assert.Empty((await bench.Runner.CheckAsync(Samples.Request(Samples.Gentle), default)).Refusals);
        chooser.Gate.SetResult();
        chooser.Gate = null;
        await bench.UntilAsync(s => s.Run is null || s.Run.Adaptive?.SwitchingVolts == -0.6);
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));
    }

    [Fact]
    public async Task Stopped_while_choosing_nothing_is_driven_on_the_old_choice()
    {
        var chooser = new Chooser([-1.2, -0.8, -0.6, -0.4]) { Gate = new() };
        await using var bench = await BenchAsync(chooser);
        var header = await bench.StartAsync(Plan);
        await ChoosingAsync(bench, chooser);
        var stopping = bench.Runner.StopAsync(default);
        await bench.UntilAsync(_ => stopping.IsCompleted);
        Assert.Equal(RunState.Stopped, await bench.EndAsync(header));
        chooser.Gate.SetResult();
        await bench.SettleAsync();
        Assert.Equal(1, bench.Rig.ProgramsRun);
        Assert.False(bench.Rig.Supplies.PlateRail);
        Assert.Equal(16, bench.Recording.Blocks.Sum(b => b.Count));
    }

    [Fact]
    public async Task A_trip_while_choosing_ends_it_safe_and_recorded()
    {
        var chooser = new Chooser([-1.2, -0.8, -0.6, -0.4]) { Gate = new() };
        await using var bench = await BenchAsync(chooser);
        var header = await bench.StartAsync(Plan);
        await ChoosingAsync(bench, chooser);
        var safe = bench.Runner.MakeSafeAsync("a spark", default);
        await bench.UntilAsync(_ => safe.IsCompleted);
        Assert.Equal(RunState.Tripped, await bench.EndAsync(header));
        chooser.Gate.SetResult();
        await bench.SettleAsync();
        Assert.Equal(1, bench.Rig.ProgramsRun);
        Assert.Single(bench.Recording.Trips);
        Assert.False(bench.Rig.Supplies.PlateRail);
    }

    [Fact]
    public async Task A_chooser_that_hangs_ends_the_run_with_what_was_measured()
    {
        var chooser = new Chooser([-1.2, -0.8, -0.6, -0.4]) { Gate = new() };
        await using var bench = await BenchAsync(chooser);
        var header = await bench.StartAsync(Plan);
        await ChoosingAsync(bench, chooser);
        var since = bench.Time.GetTimestamp();
        Assert.Equal(RunState.Stopped, await bench.EndAsync(header));
        Assert.InRange(bench.Time.GetElapsedTime(since).TotalSeconds, 25, 40);
        Assert.Equal(16, bench.Recording.Blocks.Sum(b => b.Count));
        Assert.Contains(bench.Log.Lines, l => l.Contains("could not be chosen", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_chooser_that_fails_ends_the_run_with_what_was_measured()
    {
        await using var bench = await TestBench.ConnectedAsync(o => o with { ChooseDrives = (_, _, _, _) => throw new InvalidOperationException("no tube looks like this") });
        var header = await bench.StartAsync(Plan);
        Assert.Equal(RunState.Stopped, await bench.EndAsync(header));
        Assert.Contains(bench.Log.Lines, l => l.Contains("no tube looks like this", StringComparison.Ordinal));
        Assert.False(bench.Rig.Supplies.PlateRail);
    }

    [Fact]
    public async Task Without_a_chooser_it_is_refused_and_positive_drive_needs_its_permit_as_ever()
    {
        await using var without = await TestBench.ConnectedAsync();
        Assert.Equal("adaptive-not-available", Assert.Single((await without.Runner.StartAsync(Samples.Request(Plan), default)).Refusals).Code);

        await using var bench = await BenchAsync(new([1, 2, 3, 4]));
        var positive = Plan with { Stop = new(6) };
        Assert.Equal("positive-drive-without-permit", Assert.Single((await bench.Runner.StartAsync(Samples.Request(positive), default)).Refusals).Code);
        Assert.Empty((await bench.Runner.GrantPermitAsync(new(6), TimeSpan.FromMinutes(5), "switching point", default)).Refusals);
        var header = await bench.StartAsync(positive);
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));
        Assert.InRange(Samples.Rig.Drive.ToVolts(bench.Rig.HighestCode), 5.9, 6);
    }

    [Fact]
    public async Task Points_lost_on_the_link_are_measured_again_before_the_next_are_chosen()
    {
        var chooser = new Chooser([-1.2, -0.8, -0.6, -0.4]);
        await using var bench = await BenchAsync(chooser);
        bench.Rig.Loses = (program, frame) => program == 1 && frame == 1;
        var header = await bench.StartAsync(Plan);
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));
        Assert.Equal([16, 20], chooser.Points);
    }

    private static async Task ChoosingAsync(TestBench bench, Chooser chooser)
    {
        await bench.UntilAsync(s => !chooser.Points.IsEmpty && s.Run?.PointsDone == 16);
    }
}
