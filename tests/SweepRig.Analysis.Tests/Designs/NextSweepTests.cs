using SweepRig.Analysis.Designs;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;
using static SweepRig.Analysis.Tests.Models.SimulatedRuns;

namespace SweepRig.Analysis.Tests.Designs;

public sealed class NextSweepTests
{
    private static readonly TubeParameters Truth = new LotSpread().Draw(ExampleTubes.Sound6BH6, 12, 1)[0];
    private static readonly TubeFitOptions Options = new() { Typical = ExampleTubes.Sound6BH6 };

    [Fact]
    public void The_sweep_proposed_shrinks_the_wanted_uncertainty_as_was_said()
    {
        var bench = new SimulatedRuns(4);
        var first = bench.Run(Truth, Connection(ConnectionKind.Pentode), Even(-6, 0, 64), "first");
        var fit = TubeFitter.Fit([first], Options);
        var candidates = SweepCandidates.Around(first.Connection, -6, 20);
        var triode = Connection(ConnectionKind.Triode, 22_000);
        foreach (var wanted in (WantedQuantity[])[new WantedQuantity.Constant(TubeParameter.ScreenMu), new WantedQuantity.Output(triode, first.Known, 6)])
        {
            var proposal = NextSweep.Propose(fit, wanted, candidates)!;
            Assert.True(proposal.Best.Uncertainty < 0.7 * proposal.Now, $"{wanted}: {proposal.Now} to {proposal.Best.Uncertainty}");
            Assert.Equal(candidates.Count, proposal.Ranked.Count);
            var further = bench.Run(Truth, proposal.Best.Sweep.Connection, proposal.Best.Sweep.Drives, "further");
            var after = NextSweep.Propose(TubeFitter.Fit([first, further], Options), wanted, candidates)!.Now;
            // What is expected is reckoned at constants that were not known yet.
            Assert.InRange(after, proposal.Best.Uncertainty / 4, proposal.Best.Uncertainty * 4);
        }
    }

    [Fact]
    public void The_switching_point_of_the_run_itself_is_made_surer()
    {
        var bench = new SimulatedRuns(5);
        var first = bench.Run(Truth, Connection(ConnectionKind.Pentode), Even(-6, 0, 64), "first");
        var candidates = SweepCandidates.Around(first.Connection, -6, 0);
        var proposal = NextSweep.Propose(TubeFitter.Fit([first], Options), new WantedQuantity.Switching(first.Connection, first.Known, -6, 3), candidates)!;
        Assert.Equal("V", proposal.Unit);
        Assert.True(proposal.Best.Uncertainty < proposal.Now);
        // A worse sweep is never said to be better, and none makes anything worse.
        Assert.All(proposal.Ranked, r => Assert.InRange(r.Uncertainty, 0, proposal.Now * (1 + 1e-9)));
        Assert.Equal(proposal.Ranked.Skip(1).Select(r => r.Uncertainty).Order(), proposal.Ranked.Skip(1).Select(r => r.Uncertainty));
    }

    [Fact]
    public void Everything_asks_for_positive_drive_only_where_it_is_allowed()
    {
        var first = new SimulatedRuns(4).Run(Truth, Connection(ConnectionKind.Pentode), Even(-6, 0, 64));
        var fit = TubeFitter.Fit([first], Options);
        var with = NextSweep.Propose(fit, new WantedQuantity.Everything(), SweepCandidates.Around(first.Connection, -6, 20))!;
        Assert.True(with.Best.Uncertainty < with.Now);
        Assert.True(with.Best.Sweep.NeedsPermit, with.Best.Sweep.ToString());
        var without = NextSweep.Propose(fit, new WantedQuantity.Everything(), SweepCandidates.Around(first.Connection, -6, 0))!;
        Assert.All(without.Ranked, r => Assert.False(r.Sweep.NeedsPermit));
        Assert.True(without.Best.Uncertainty >= with.Best.Uncertainty);
    }

    [Fact]
    public void A_switching_point_that_does_not_exist_is_not_asked_for()
    {
        var first = new SimulatedRuns(4).Run(Truth, Connection(ConnectionKind.Pentode), Even(-6, 0, 64));
        var fit = TubeFitter.Fit([first], Options);
        Assert.Null(NextSweep.Propose(fit, new WantedQuantity.Switching(first.Connection, first.Known, -6, -3), SweepCandidates.Around(first.Connection, -6, 0)));
        Assert.Throws<ArgumentException>(() => NextSweep.Propose(TubeFitter.Fit([], Options), new WantedQuantity.Everything(), SweepCandidates.Around(first.Connection, -6, 0)));
    }
}
