using System.IO.Hashing;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Simulated;

namespace SweepRig.Nights;

public sealed class RunJudgeTests
{
    private static readonly JournalSample[] Measured = [.. Enumerable.Range(0, 4).Select(i => new JournalSample(3, i, 1_000 * (i + 1), 100 + i, SampleFlags.Settled, 16, 2, (ushort)(500 + i), 10, 20, 30, 40))];

    [Fact]
    public void What_was_measured_is_right() => Assert.Empty(RunJudge.Wrong(Run(Block(0, 1, 2, 3)), Measured));

    [Fact]
    public void A_code_that_was_never_measured_is_wrong()
    {
        var block = Block(0, 1);
        block.Codes[0][1]++;
        Assert.Single(RunJudge.Wrong(Run(block), Measured));
    }

    [Fact]
    public void A_sample_of_no_moment_is_wrong()
    {
        var block = Block(0, 1);
        block.SampledAtTicks[0] = 77;
        Assert.Contains("measured nothing", Assert.Single(RunJudge.Wrong(Run(block), Measured)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_sample_twice_is_wrong() => Assert.Contains("twice", Assert.Single(RunJudge.Wrong(Run(Block(0, 1), Block(1)), Measured)), StringComparison.Ordinal);

    [Fact]
    public void A_point_of_which_nothing_is_said_is_a_fault_and_one_that_is_named_missing_is_none()
    {
        var run = Run(Block(0, 1, 3));
        run.State = RunState.Complete;
        Assert.Contains("neither", RunJudge.GapFault(run), StringComparison.Ordinal);
        run.Gaps.Add(new(0, 2, 1, "lost"));
        Assert.Null(RunJudge.GapFault(run));
        run.Gaps.Add(new(0, 3, 1, "lost"));
        Assert.Contains("was measured", RunJudge.GapFault(run), StringComparison.Ordinal);
    }

    [Fact]
    public void A_check_sum_tells_a_lost_block_and_a_changed_code()
    {
        var changed = Block(2, 3);
        changed.Codes[1][0]++;
        Assert.NotEqual(Sum(Block(0, 1), Block(2, 3)), Sum(Block(0, 1)));
        Assert.NotEqual(Sum(Block(0, 1), Block(2, 3)), Sum(Block(0, 1), changed));
    }

    private static UInt128 Sum(params SampleBlock[] blocks)
    {
        var sum = new XxHash128();
        foreach (var block in blocks) WitnessedRecorder.Sum(sum, block);
        return sum.GetCurrentHashAsUInt128();
    }

    private static WitnessedRun Run(params SampleBlock[] blocks)
    {
        var rig = new RigIdentity(1, "1.0", "test", "SIM-0001", 1, Supplies.None, new(12, new(-16), new(32)), SimulatedRigDefaults.Channels, SimulatedRigDefaults.HardLimits, 300, 16, ResetReason.PowerOn);
        var run = new WitnessedRun(new("0123", default, new("SKUA-014", "6AU6", "Skua"), 0, PlanExamples.GentlePentode.Plan, [new(0, PassDirection.Up, 4, 0, null)], RigCalibration.Nominal(rig), rig, "1", null));
        run.Blocks.AddRange(blocks);
        return run;
    }

    private static SampleBlock Block(params int[] points)
    {
        var of = points.Select(p => Measured[p]).ToArray();
        return new()
        {
            Pass = 0, FrameIndex = points[0], PointIndex = [.. points.Select(p => (ushort)p)], SampledAtTicks = [.. of.Select(s => s.AtMicroseconds)], DriveCode = [.. of.Select(s => (ushort)s.DriveCode)],
            Flags = [.. of.Select(s => s.Flags)], AveragedCount = [.. of.Select(s => (ushort)s.Averaged)], Spread = [.. of.Select(s => s.Spread)],
            Codes = [[.. of.Select(s => s.Plate)], [.. of.Select(s => s.Grid)], [.. of.Select(s => s.Screen)], [.. of.Select(s => s.Supply)], [.. of.Select(s => s.Drive)]],
        };
    }
}
