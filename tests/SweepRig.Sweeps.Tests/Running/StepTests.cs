using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Screening;
using SweepRig.Sweeps.Tests.Support;

namespace SweepRig.Sweeps.Tests.Running;

/// <summary>A step of a screening as the runner runs it.</summary>
public sealed class StepTests
{
    private static readonly Connection Fixture = PlanExamples.GentlePentode.Plan.Connection;

    [Fact]
    public async Task A_step_is_on_record_with_its_screening_and_waits_for_no_heater()
    {
        await using var bench = await TestBench.ConnectedAsync(o => o with { WarmAfter = TimeSpan.FromHours(1) });
        var started = await bench.Runner.StartStepAsync(Step(6.3, 28), default);
        Assert.Empty(started.Refusals);
        Assert.Equal(RunState.Complete, await bench.EndAsync(started.Value!));
        Assert.Equal(new ScreeningTag("s1", ScreeningStepKind.WarmUp), bench.Recording.Header.Screening);
        Assert.Equal(6, bench.Recording.Blocks.Sum(b => b.Count));
        Assert.True(bench.Rig.Supplies.Heater);
        Assert.False(bench.Rig.Supplies.PlateRail);
    }

    [Fact]
    public async Task A_cold_step_leaves_heater_and_rail_off()
    {
        await using var bench = await TestBench.ConnectedAsync();
        var started = await bench.Runner.StartStepAsync(Step(null, null), default);
        Assert.Equal(RunState.Complete, await bench.EndAsync(started.Value!));
        Assert.False(bench.Rig.Supplies.Heater);
        Assert.False(bench.Rig.Supplies.PlateRail);
    }

    [Fact]
    public async Task A_step_is_refused_while_a_run_is_under_way()
    {
        await using var bench = await TestBench.ConnectedAsync();
        await bench.StartAndHoldAsync(Samples.Gentle);
        var refused = await bench.Runner.StartStepAsync(Step(null, null), default);
        Assert.Equal("busy", Assert.Single(refused.Refusals).Code);
    }

    private static ScreeningRequest Step(double? heater, double? rail) =>
        new("s1", new(ScreeningStepKind.WarmUp, "warming up", heater, rail, [DriveRun.Hold(-6, 6)], 1_000, 16), Samples.Tube, Fixture, 0);
}
