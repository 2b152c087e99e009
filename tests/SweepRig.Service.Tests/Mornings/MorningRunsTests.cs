using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Mornings;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Mornings;

public sealed class MorningRunsTests
{
    private static readonly DateTimeOffset Evening = new(2026, 3, 14, 21, 0, 0, TimeSpan.Zero);

    [Fact]
    public void Of_each_tube_the_newest_whole_sweep_is_kept_in_the_order_of_the_first()
    {
        var runs = new MorningRuns();
        var broken = Run(5, "SKUA-002", RunState.Stopped);
        var (newestOfTwo, newestOfOne) = (Run(3, "SKUA-002"), Run(4, "SKUA-001"));
        foreach (var run in new[] { broken, newestOfOne, newestOfTwo, Run(2, "SKUA-001"), Run(1, "SKUA-002"), Run(0.5, "SKUA-003", RunState.Incomplete) }) runs.Add(run);
        Assert.Equal([newestOfTwo.Header.Id, newestOfOne.Header.Id], runs.NewestSweeps().Select(s => s.Id));
    }

    [Fact]
    public void The_work_of_a_rig_is_the_sum_of_its_runs()
    {
        var runs = new MorningRuns();
        var other = Run(1, "SKUA-009");
        other = other with { Header = other.Header with { Rig = other.Header.Rig with { SerialNumber = "A-FIRST" } } };
        var gap = new Gap(0, 4, 3, "frames lost");
        foreach (var one in new[] { Run(4, "SKUA-001", RunState.Tripped), Run(3, "SKUA-001") with { Gaps = [gap, gap] }, other, Run(0, "SKUA-002") }) runs.Add(one);
        Assert.Equal(4, runs.Count);
        Assert.Equal(["A-FIRST", Run(0, "SKUA-002").Header.Rig.SerialNumber], runs.Work().Select(w => w.Rig));
        var work = runs.Work()[1];
        Assert.Equal((3, 2, 0, 1, 0), (work.Runs, work.Complete, work.Stopped, work.Tripped, work.Incomplete));
        Assert.Equal((30L, 6L, 2), (work.Samples, work.MissingPoints, work.Tubes));
    }

    private static RunRecord Run(double hours, string label, RunState state = RunState.Complete) =>
        new(new ModelledRun(PlanExamples.GentlePentode) { StartedUtc = Evening.AddHours(hours), Label = new(label, "6AU6", "Skua") }.Header, state, null, 10, [], []);
}
