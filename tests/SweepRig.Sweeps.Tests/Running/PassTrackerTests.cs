using CsCheck;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Tests.Running;

public sealed class PassTrackerTests
{
    [Fact]
    public void Whatever_is_lost_is_asked_for_again_with_the_very_same_codes() =>
        Gen.Select(Gen.Int[0, 4095], Gen.Int[0, 4095], Gen.Int[2, 300], Gen.Bool.Array[300]).Sample((from, to, points, lost) =>
        {
            var program = Program((ushort)from, (ushort)to, points);
            var tracker = new PassTracker(program);
            var arrived = Enumerable.Range(0, points).Where(i => !lost[i]).ToList();
            if (arrived.Count > 0) tracker.Note(Block(arrived));
            Assert.Equal(arrived.Count, tracker.Arrived);

            var again = tracker.Again();
            Assert.All(again, p => Assert.InRange(p.Segments.Count, 1, 64));
            var asked = again.SelectMany(p => p.Segments).SelectMany(s => Enumerable.Range(0, s.Points).Select(i => (Point: s.FirstPoint + i, Code: s.CodeAt(i)))).ToList();
            Assert.Equal(Enumerable.Range(0, points).Where(i => lost[i]), asked.Select(a => a.Point));
            Assert.All(asked, a => Assert.Equal(program.CodeAt(a.Point), a.Code));
            return true;
        });

    [Fact]
    public void Frames_sent_and_not_received_are_counted()
    {
        var tracker = new PassTracker(Program(0, 100, 8));
        tracker.Note(Block([0, 1]));
        tracker.Note(Block([4, 5]));
        tracker.ProgramEnded(4);
        Assert.Equal(2, tracker.FramesLost);
        Assert.Equal([(2, 2), (6, 2)], tracker.Missing());
        tracker.Note(Block([2, 3]));
        tracker.ProgramEnded(1);
        Assert.Equal(2, tracker.FramesLost);
    }

    [Fact]
    public void A_point_that_comes_twice_counts_once_and_one_out_of_range_never()
    {
        var tracker = new PassTracker(Program(0, 100, 8));
        Assert.Equal(2, tracker.Note(Block([1, 2])));
        Assert.Equal(1, tracker.Note(Block([2, 3, 900])));
        Assert.Equal(3, tracker.Arrived);
    }

    private static RigProgram Program(ushort from, ushort to, int points) =>
        new(0, [new(from, to, points, 0)], 31, 4095, new(100, 1, 0, 0, 0, 0), new(ConnectionKind.Pentode, 10_000, 100, 4_700));

    private static SampleBlock Block(List<int> points) => new()
    {
        Pass = 0,
        FrameIndex = 0,
        PointIndex = [.. points.Select(p => (ushort)p)],
        SampledAtTicks = new long[points.Count],
        DriveCode = new ushort[points.Count],
        Flags = new SampleFlags[points.Count],
        AveragedCount = new ushort[points.Count],
        Spread = new ushort[points.Count],
        Codes = [[], [], [], [], []],
    };
}
