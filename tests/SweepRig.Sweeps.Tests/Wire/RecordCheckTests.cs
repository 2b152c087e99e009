using SweepRig.Domain.Runs;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Simulated;
using SweepRig.Sweeps.Tests.Support;
using SweepRig.Wire.Campaign;

namespace SweepRig.Sweeps.Tests.Wire;

/// <summary>The campaign's judge sees what it is there to see.</summary>
public sealed class RecordCheckTests
{
    private const ushort FirstCode = 171, LastCode = 1365;

    private static readonly SweepRecord Run = new(new(
        "1", default, Samples.Tube, 0, Samples.Gentle with { Points = 2 }, [new(0, PassDirection.Up, 2, 0, null)], RigCalibration.Nominal(Samples.Rig), Samples.Rig, "test", null));

    private static readonly JournalSample[] Measured =
    [
        new(1, 0, 1000, FirstCode, SampleFlags.Settled, 16, 3, 100, 200, 300, 400, 500),
        new(1, 1, 2000, LastCode, SampleFlags.Settled, 16, 4, 101, 201, 301, 401, 501),
    ];

    [Fact]
    public void What_was_measured_so_is_right() => Assert.Empty(RecordCheck.Wrong(With(Block()), Measured));

    [Fact]
    public void One_wrong_code_is_seen_in_any_column()
    {
        for (var channel = 0; channel < 5; channel++)
        {
            var block = Block();
            block.Codes[channel][1] ^= 1;
            Assert.Single(RecordCheck.Wrong(With(block), Measured));
        }
        var drive = Block();
        drive.DriveCode[0]++;
        Assert.Single(RecordCheck.Wrong(With(drive), Measured));
        var point = Block();
        point.PointIndex[1] = 0;
        Assert.Single(RecordCheck.Wrong(With(point), Measured));
        var time = Block();
        time.SampledAtTicks[0] = 999;
        Assert.Single(RecordCheck.Wrong(With(time), Measured));
    }

    [Fact]
    public void A_sample_on_record_twice_is_seen() => Assert.Equal(2, RecordCheck.Wrong(With(Block(), Block()), Measured).Count);

    [Fact]
    public void Gaps_must_be_just_what_is_missing()
    {
        Assert.Null(RecordCheck.GapFault(With(Block())));
        Assert.NotNull(RecordCheck.GapFault(With()));
        var named = With();
        named.Gaps.Add(new(0, 0, 2, "lost"));
        Assert.Null(RecordCheck.GapFault(named));
        named.Blocks.Add(Block());
        Assert.NotNull(RecordCheck.GapFault(named));
    }

    [Fact]
    public void A_rig_that_drives_without_a_hold_is_seen()
    {
        var clock = new VirtualClock();
        var witness = new LeaseWitness(clock, null);
        JournalEntry[] journal = [new(0, JournalKind.DriveWritten, 171), new(100, JournalKind.PlateRailSet, 1), new(400_000, JournalKind.PlateRailSet, 0)];
        var driving = LeaseWitness.Driving(journal, 171);
        Assert.Equal([(100, 400_000)], driving);
        // Nothing was ever heard of a host.
        Assert.NotNull(witness.DroveWithoutHold(driving, 300_000, 1_000_000));
        Assert.Null(witness.DroveWithoutHold(LeaseWitness.Driving(journal[..1], 171), 300_000, 1_000_000));
    }

    private static SweepRecord With(params SampleBlock[] blocks)
    {
        var run = new SweepRecord(Run.Header);
        run.Blocks.AddRange(blocks);
        return run;
    }

    private static SampleBlock Block() => new()
    {
        Pass = 0, FrameIndex = 0, PointIndex = [0, 1], SampledAtTicks = [1000, 2000], DriveCode = [FirstCode, LastCode],
        Flags = [SampleFlags.Settled, SampleFlags.Settled | SampleFlags.Repeated], AveragedCount = [16, 16], Spread = [3, 4],
        Codes = [[100, 101], [200, 201], [300, 301], [400, 401], [500, 501]],
    };
}
