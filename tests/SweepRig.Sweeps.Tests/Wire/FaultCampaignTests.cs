using System.Collections.Concurrent;
using SweepRig.Sweeps.Tests.Integration;
using SweepRig.Wire.Campaign;

namespace SweepRig.Sweeps.Tests.Wire;

/// <summary>The campaign of <c>tests/figures link-faults</c>, a small part of it with the same seeds each time.</summary>
[Collection(nameof(OnTheRealClock))]
public sealed class FaultCampaignTests
{
    [Fact]
    public async Task Over_bad_lines_no_sample_is_wrong_no_point_missing_unnamed_and_no_end_unsafe()
    {
        var verdicts = await FaultCampaign.RunAsync(FaultCampaign.Sweeps(20 * FaultCampaign.Kinds.Count));

        Assert.All(verdicts, v => Assert.True(v.Violations.Count == 0, $"{v.Kind}:{v.Seed} {v.End} {v.How}: {string.Join("; ", v.Violations)}"));
        // A campaign in which nothing went wrong on the line, or nothing came through, would show nothing.
        foreach (var kind in FaultCampaign.Kinds)
        {
            var those = verdicts.Where(v => v.Kind == kind).ToList();
            Assert.Equal(20, those.Count);
            Assert.True(those.Count(v => v.Samples > 0) >= 10, $"{kind}: {those.Count(v => v.Samples > 0)} of {those.Count} sweeps have samples.");
            if (kind is not (FaultKind.None or FaultKind.Unplug)) Assert.True(those.Sum(v => v.FramesDamaged) > 0, $"{kind} damaged nothing.");
        }
        Assert.All(verdicts.Where(v => v.Kind == FaultKind.None), v => Assert.Equal((SweepEnd.Complete, 0), (v.End, v.Repeats)));
        Assert.Contains(verdicts, v => v.Repeats > 0);
        Assert.Contains(verdicts, v => v.End == SweepEnd.WithGaps);
        Assert.Contains(verdicts, v => v.End == SweepEnd.RefusedOrTripped);
    }

    [Fact]
    public async Task A_sweep_can_be_run_again_by_its_seed_and_tells_what_happens()
    {
        ConcurrentQueue<string> told = [];
        var again = await FaultCampaign.ReplayAsync(FaultKind.DropFrames, 3, told.Enqueue);
        Assert.Equal((FaultKind.DropFrames, 3, SweepEnd.Complete), (again.Kind, again.Seed, again.End));
        Assert.True(again.FramesDamaged > 0);
        Assert.Contains(told, line => line.Contains("reached the rig: Hello", StringComparison.Ordinal));
    }
}
