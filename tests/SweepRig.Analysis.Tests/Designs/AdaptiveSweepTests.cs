using SweepRig.Analysis.Designs;
using SweepRig.Analysis.Models;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Analysis.Tests.Predictions;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;
using static SweepRig.Analysis.Tests.Models.SimulatedRuns;

namespace SweepRig.Analysis.Tests.Designs;

public sealed class AdaptiveSweepTests
{
    private static readonly TubeParameters Truth = new LotSpread().Draw(ExampleTubes.Sound6BH6, 12, 1)[0];

    [Theory]
    [InlineData(ConnectionKind.Pentode)]
    [InlineData(ConnectionKind.Triode)]
    public void It_ends_when_the_wanted_uncertainty_is_reached_and_the_truth_lies_within(ConnectionKind kind)
    {
        var connection = Connection(kind);
        var result = AdaptiveSweeps.Run(new SimulatedRuns(6), Truth, connection, -8, 4, wanted: 2e-4, ExampleTubes.Sound6BH6);
        Assert.InRange(result.Switching.Uncertainty!.Value, 0, 2e-4);
        Assert.InRange(result.Points, AdaptiveSweeps.First, 120);
        Assert.All(result.Drives, d => Assert.InRange(d, -8, 4));
        var truth = SwitchingPredictionTests.Steepest(Truth, connection, -8, 4).Drive;
        Assert.InRange(result.Switching.Value!.Value, truth - 3 * 2e-4, truth + 3 * 2e-4);
    }

    [Fact]
    public void Points_go_where_the_output_falls_and_not_where_it_rests()
    {
        var result = AdaptiveSweeps.Run(new SimulatedRuns(7), Truth, Connection(ConnectionKind.Pentode), -8, 4, wanted: 1e-4, ExampleTubes.Sound6BH6);
        // The first batch halves gaps: so few points cannot be fitted yet.
        var chosen = result.Drives.Skip(AdaptiveSweeps.First + AdaptiveSweeps.Batch).ToArray();
        Assert.NotEmpty(chosen);
        // Even points would put 58 % of them there.
        Assert.True(chosen.Count(d => d < -1.9) <= 0.1 * chosen.Length, string.Join(' ', chosen));
    }

    [Fact]
    public void Without_a_fit_the_widest_gaps_are_halved_until_the_sweep_is_an_even_one()
    {
        var bench = new SimulatedRuns(8);
        var connection = Connection(ConnectionKind.Pentode);
        var run = bench.Run(Truth, connection, [-8, -6, -4, 0]);
        var refused = TubeFitter.Fit([run]);
        Assert.Equal(ModelFitStatus.Refused, refused.Status);
        var step = AdaptiveSweep.Next(refused, [-8, -6, -4, 0], connection, run.Known, -8, 0, 4, 1e-3);
        Assert.Equal([-7, -5, -3, -2], step.Drives.Select(d => Math.Round(d, 9)).Order());
        Assert.Contains("no fit yet", step.Switching.AbsentBecause, StringComparison.Ordinal);
    }
}
