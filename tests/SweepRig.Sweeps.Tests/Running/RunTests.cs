using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Sweeps.Running;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Running;

public sealed class RunTests
{
    [Fact]
    public async Task A_whole_sweep_is_recorded_and_shown()
    {
        await using var bench = await TestBench.PermittedAsync();
        var header = await bench.StartAsync(Samples.FarPositive);
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));

        var recording = bench.Recording;
        Assert.Equal(RunState.Complete, recording.State);
        Assert.True(recording.Disposed);
        Assert.Equal(2 * Samples.FarPositive.Points, recording.Blocks.Sum(b => b.Count));
        Assert.Empty(recording.Gaps);
        Assert.Equal(24, header.Permit!.Ceiling.Value);
        await bench.UntilAsync(_ => bench.Shown.OfType<LiveUpdate.RunEnded>().Any());
        Assert.Equal(recording.Blocks, bench.Shown.OfType<LiveUpdate.Block>().Select(b => b.Samples));
        Assert.Equal([.. Enumerable.Range(0, recording.Blocks.Count)], bench.Shown.OfType<LiveUpdate.Block>().Select(b => (int)b.Sequence));
        Assert.Equal([0, 1], bench.Shown.OfType<LiveUpdate.PassEnded>().Select(p => p.Pass.Index));
        Assert.False(bench.Rig.Supplies.PlateRail);
        Assert.True(bench.Rig.Supplies.Heater);
    }

    [Fact]
    public async Task Blocks_are_recorded_before_they_are_shown()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.EndAsync(await bench.StartAsync(Samples.Gentle));
        await bench.UntilAsync(_ => bench.Shown.OfType<LiveUpdate.RunEnded>().Any());
        var recorded = 0;
        foreach (var line in bench.Journal)
        {
            if (line == "record append") recorded++;
            if (line == "show Block") Assert.True(recorded > 0);
        }
        var journal = bench.Journal.ToList();
        Assert.True(journal.IndexOf("record begin") < journal.IndexOf("show RunStarted"));
        Assert.True(journal.IndexOf("record end Complete") < journal.IndexOf("show RunEnded"));
        Assert.True(journal.LastIndexOf("show Block") < journal.IndexOf("show PassEnded"));
        Assert.True(journal.IndexOf("show PassEnded") < journal.IndexOf("show RunEnded"));
    }

    [Fact]
    public async Task Nothing_is_swept_before_the_cathode_is_warm()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var started = bench.Time.GetTimestamp();
        await bench.StartAsync(Samples.Gentle);
        await bench.UntilAsync(s => s.Run?.Phase == RunPhase.Warming && bench.Rig.Supplies.Heater);
        Assert.False(bench.Rig.Supplies.PlateRail);
        Assert.InRange(bench.Runner.State.Run!.TimeLeft.TotalSeconds, 3, 5);
        await bench.UntilAsync(_ => bench.Rig.ProgramsRun > 0);
        Assert.True(bench.Time.GetElapsedTime(started) >= TimeSpan.FromSeconds(4));
    }

    [Fact]
    public async Task A_warm_heater_is_not_waited_for_again()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.EndAsync(await bench.StartAsync(Samples.Gentle));
        var started = bench.Time.GetTimestamp();
        await bench.EndAsync(await bench.StartAsync(Samples.Gentle));
        Assert.True(bench.Time.GetElapsedTime(started) < TimeSpan.FromSeconds(2));
    }

    [Fact]
    public async Task Lost_points_are_measured_again_under_their_own_number()
    {
        await using var bench = await TestBench.ConnectedAsync();
        bench.Rig.Loses = (program, frame) => program == 1 && frame is 2 or 3 && program == 1;
        Assert.Equal(RunState.Complete, await bench.EndAsync(await bench.StartAsync(Samples.Gentle)));

        var points = bench.Recording.Blocks.SelectMany(b => b.PointIndex.Zip(b.DriveCode, b.Flags)).ToList();
        Assert.Equal(Enumerable.Range(0, Samples.Gentle.Points), points.Select(p => (int)p.First).Order());
        var again = points.Where(p => p.Third.HasFlag(SampleFlags.Repeated)).Select(p => (int)p.First).Order();
        Assert.Equal(Enumerable.Range(8, 8), again);
        Assert.Empty(bench.Recording.Gaps);
        Assert.Equal(2, bench.Rig.ProgramsRun);
        // Same point, same code: in order of points the codes rise evenly.
        var codes = points.OrderBy(p => p.First).Select(p => (int)p.Second).ToList();
        var steps = codes.Zip(codes.Skip(1), (a, b) => b - a).Distinct();
        Assert.True(steps.Max() - steps.Min() <= 1);
    }

    /// <summary>On a bad line a program of many segments is seconds on its way, and all that time the rig truly says that nothing runs.</summary>
    [Fact]
    public async Task A_program_that_is_long_on_its_way_is_waited_for()
    {
        await using var bench = await TestBench.ConnectedAsync();
        bench.Rig.RunGate = new();
        var header = await bench.StartAsync(Samples.Gentle);
        await bench.UntilAsync(s => s.Run?.Phase == RunPhase.Sweeping && bench.Rig.Supplies.PlateRail);
        var started = bench.Time.GetTimestamp();
        await bench.UntilAsync(_ => bench.Time.GetElapsedTime(started) >= TimeSpan.FromSeconds(2));
        Assert.Null(bench.Runner.State.Trip);
        bench.Rig.RunGate.SetResult();
        bench.Rig.RunGate = null;
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));
    }

    [Fact]
    public async Task The_last_frame_lost_is_known_too()
    {
        await using var bench = await TestBench.ConnectedAsync();
        bench.Rig.Loses = (program, frame) => program == 1 && frame == 7;
        await bench.EndAsync(await bench.StartAsync(Samples.Gentle));
        Assert.Equal(Samples.Gentle.Points, bench.Recording.Blocks.Sum(b => b.Count));
        Assert.Empty(bench.Recording.Gaps);
    }

    [Fact]
    public async Task What_stays_missing_is_a_gap_and_ends_the_run_all_the_same()
    {
        await using var bench = await TestBench.ConnectedAsync();
        bench.Rig.Loses = (program, frame) => program == 1 && frame == 3 || program > 1;
        Assert.Equal(RunState.Complete, await bench.EndAsync(await bench.StartAsync(Samples.Gentle)));
        var gap = Assert.Single(bench.Recording.Gaps);
        Assert.Equal((0, 12, 4), (gap.Pass, gap.FirstPoint, gap.Points));
        Assert.Equal(3, bench.Rig.ProgramsRun);
    }

    [Fact]
    public async Task A_family_steps_the_rail_and_waits_for_it()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var plan = Samples.Gentle with { SecondSource = new(SteppedSource.PlateRail, new(20), new(28), 3) };
        var header = await bench.StartAsync(plan);
        Assert.Equal([20.0, 24.0, 28.0], header.Passes.Select(p => p.SecondSourceVolts!.Value));
        Assert.Equal(RunState.Complete, await bench.EndAsync(header));
        Assert.Equal(3, bench.Journal.Count(l => l == "rig supplies heater on rail on"));
        var supply = Samples.Rig.Channels[3];
        foreach (var (pass, volts) in new[] { (0, 20.0), (1, 24.0), (2, 28.0) })
            Assert.All(bench.Recording.Blocks.Where(b => b.Pass == pass), b => Assert.Equal(volts, supply.ToVolts(b.Codes[3][0]), 0.01));
    }

    [Fact]
    public async Task A_stepped_heater_is_warmed_at_each_step()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var started = bench.Time.GetTimestamp();
        var plan = Samples.Gentle with { SecondSource = new(SteppedSource.Heater, new(6.3), new(5), 2) };
        Assert.Equal(RunState.Complete, await bench.EndAsync(await bench.StartAsync(plan)));
        Assert.True(bench.Time.GetElapsedTime(started) >= TimeSpan.FromSeconds(8));
        Assert.Equal(5, bench.Rig.Supplies.HeaterVolts);
    }

    [Fact]
    public async Task Stop_ends_a_run_without_a_trip()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var header = await bench.StartAndHoldAsync(Samples.Gentle);
        bench.Rig.SendFrame(0);
        var stopped = await bench.Runner.StopAsync(default);
        Assert.True(stopped.IsAccepted);
        Assert.Equal(RunState.Stopped, await bench.EndAsync(header));
        Assert.Equal(4, bench.Recording.Blocks.Sum(b => b.Count));
        Assert.Null(bench.Runner.State.Trip);
        Assert.False(bench.Rig.Supplies.PlateRail);
        Assert.False(bench.Rig.Latched);
    }

    [Fact]
    public async Task Stop_works_while_warming_too()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var header = await bench.StartAsync(Samples.Gentle);
        await bench.UntilAsync(s => s.Run?.Phase == RunPhase.Warming && bench.Rig.Supplies.Heater);
        Assert.True((await bench.Runner.StopAsync(default)).IsAccepted);
        Assert.Equal(RunState.Stopped, await bench.EndAsync(header));
        Assert.Equal(0, bench.Rig.ProgramsRun);
    }

    [Fact]
    public async Task Of_two_starts_at_once_one_is_refused_as_busy()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var first = bench.Runner.StartAsync(Samples.Request(Samples.Gentle), default);
        var second = bench.Runner.StartAsync(Samples.Request(Samples.Gentle), default);
        var outcomes = await Task.WhenAll(first, second);
        var refused = Assert.Single(outcomes, o => !o.IsAccepted);
        Assert.Equal("busy", Assert.Single(refused.Refusals).Code);
        Assert.Single(bench.Recorder.Runs);
    }

    [Fact]
    public async Task A_record_that_cannot_be_opened_refuses_the_start()
    {
        await using var bench = await TestBench.ConnectedAsync();
        bench.Recorder.FailsToBegin = true;
        var outcome = await bench.Runner.StartAsync(Samples.Request(Samples.Gentle), default);
        var refusal = Assert.Single(outcome.Refusals);
        Assert.Equal("cannot-record", refusal.Code);
        Assert.Contains("No space left", refusal.Allowed, StringComparison.Ordinal);
        bench.Recorder.FailsToBegin = false;
        Assert.Equal(RunState.Complete, await bench.EndAsync(await bench.StartAsync(Samples.Gentle)));
    }

    [Fact]
    public async Task Without_a_rig_everything_is_refused_with_the_reason()
    {
        await using var bench = new TestBench();
        bench.Rig.Identity = null;
        bench.Runner.Start();
        bench.Rig.PullCable();
        await bench.UntilAsync(s => s.LinkFault is not null);
        var refusal = Assert.Single((await bench.Runner.StartAsync(Samples.Request(Samples.Gentle), default)).Refusals);
        Assert.Equal("rig-not-connected", refusal.Code);
        Assert.Contains("check the cable", refusal.Allowed, StringComparison.Ordinal);
        Assert.Equal("rig-not-connected", (await bench.Runner.SetHeaterAsync(true, new(6.3), default)).Refusals[0].Code);
    }

    [Fact]
    public async Task Session_limits_are_sent_before_the_first_pass()
    {
        var limits = Samples.Rig.HardLimits with { DriveCeiling = new(10), SupplyMax = new(99) };
        await using var bench = await TestBench.ConnectedAsync(o => o with { SessionLimits = limits });
        await bench.EndAsync(await bench.StartAsync(Samples.Gentle));
        Assert.Equal(10, bench.Rig.LimitsSet!.DriveCeiling.Value);
        // Looser than the rig's own is not asked for.
        Assert.Equal(40, bench.Rig.LimitsSet.SupplyMax.Value);
        var journal = bench.Journal.ToList();
        Assert.True(journal.IndexOf("rig limits") < journal.IndexOf("rig run 0"));
    }

    [Fact]
    public async Task Progress_is_shown_at_least_four_times_a_second()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.StartAsync(Samples.Gentle);
        await bench.UntilAsync(s => s.Run?.Phase == RunPhase.Warming && bench.Rig.Supplies.Heater);
        var before = bench.Shown.OfType<LiveUpdate.State>().Count();
        var shown = 0;
        for (var i = 0; i < 20; i++)
        {
            bench.Time.Advance(TimeSpan.FromMilliseconds(100));
            bench.Rig.Status();
            await bench.SettleAsync();
        }
        await bench.UntilAsync(_ => (shown = bench.Shown.OfType<LiveUpdate.State>().Count() - before) >= 8, TimeSpan.Zero);
        Assert.True(shown >= 8);
    }

    [Fact]
    public async Task Disposing_ends_the_run_and_switches_everything_off()
    {
        var bench = await TestBench.PermittedAsync();
        await bench.StartAndHoldAsync(Samples.FarPositive);
        bench.Rig.SendFrame(0);
        await bench.DisposeAsync();
        Assert.Equal(RunState.Incomplete, bench.Recording.State);
        Assert.Equal(4, bench.Recording.Blocks.Sum(b => b.Count));
        Assert.False(bench.Rig.Supplies.Heater);
        Assert.False(bench.Rig.Supplies.PlateRail);
        Assert.Contains(bench.Log.Lines, l => l.Contains("Permit", StringComparison.Ordinal) && l.Contains("ended", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Disposing_orders_a_rig_safe_that_does_not_answer_while_its_rail_is_on()
    {
        var bench = await TestBench.PermittedAsync();
        await bench.StartAndHoldAsync(Samples.FarPositive);
        bench.Rig.SuppliesGate = new();
        await bench.DisposeAsync();
        Assert.Contains("rig safe asked", bench.Journal);
        Assert.False(bench.Rig.Supplies.PlateRail);
    }
}
