using SweepRig.Analysis.Models;
using SweepRig.Analysis.Predictions;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;
using static SweepRig.Analysis.Tests.Models.SimulatedRuns;

namespace SweepRig.Analysis.Tests.Predictions;

/// <summary>Predictions for another resistor against runs with it, on benches whose errors are drawn from what their calibration states.</summary>
public sealed class PredictionTests
{
    private const int Benches = 24;

    private static readonly TubeParameters Tube = new LotSpread().Draw(ExampleTubes.Sound6AU6, 5, 1)[0];
    private static readonly TubeFitOptions Options = new() { Typical = ExampleTubes.Sound6AU6 };
    private static readonly Connection Asked = Connection(ConnectionKind.Pentode, plateOhms: 4_700);
    private static readonly double[] Drives = Even(-6, 12, 64);

    [Fact]
    public void Curves_lie_within_what_was_stated_as_often_as_it_says_and_it_is_no_wider_than_it_must_be()
    {
        var held = 0;
        // Errors over their stated uncertainty on many benches: the mean of their squares is 1 when it is true.
        double squares = 0;
        var count = 0;
        for (ulong seed = 1; seed <= Benches; seed++)
        {
            var (bench, fit) = Fit(seed);
            var check = PredictionChecker.Of(fit, bench.Run(Tube, Asked, Drives))!;
            Assert.InRange(check.CoverageFactor, 2, 4);
            Assert.Equal(check.Within, check.PointsWithin == check.Points);
            if (check.Within) held++;
            foreach (var pass in check.Passes)
                for (var i = 0; i < pass.Drive.Length; i++, count++) squares += Math.Pow((pass.Measured[i] - pass.Predicted[i]) / pass.Uncertainty[i], 2);
        }
        // 95 % of 24 are 23; fewer than 20 come in one set of benches in two hundred (binomial).
        Assert.True(held >= 20, $"{held} of {Benches} predictions held.");
        // The points of a curve err together, so that 24 curves tell the mean to some 30 %.
        Assert.InRange(squares / count, 0.4, 1.8);
    }

    [Fact]
    public void Another_tube_does_not_come_out_as_predicted()
    {
        var (bench, fit) = Fit(7);
        var other = new LotSpread().Draw(ExampleTubes.Sound6AU6, 5, 2)[1];
        var check = PredictionChecker.Of(fit, bench.Run(other, Asked, Drives))!;
        Assert.False(check.Within);
        Assert.True(check.PointsWithin < check.Points / 2);
        Assert.True(Math.Abs(check.WorstDeviation) > check.WorstAllowed);
        Assert.True(check.Contradicted);
    }

    [Theory]
    // By hand for one point: 1.96 standard uncertainties are left once in twenty, 3.29 once in a thousand (normal distribution).
    [InlineData(1.96, 1.9, false)]
    [InlineData(1.96, 2.5, false)]
    [InlineData(1.96, 3.25, false)]
    [InlineData(1.96, 3.33, true)]
    public void Only_what_chance_hardly_does_contradicts(double factor, double deviation, bool contradicted)
    {
        var within = deviation <= factor;
        Assert.Equal(contradicted, new PredictionCheck([], factor, within, 0, -deviation, factor, 1, within ? 1 : 0).Contradicted);
    }

    [Fact]
    public void What_is_predicted_before_a_sweep_is_what_it_is_held_against_afterwards()
    {
        var (bench, fit) = Fit(9);
        var run = bench.Run(Tube, Asked, Drives);
        var predicted = OutputPrediction.Of(fit, Asked, run.Known, -6, 12, 64)!;
        var check = PredictionChecker.Of(fit, run)!.Passes[0];
        Assert.Empty(predicted.Beyond);
        for (var i = 0; i < 64; i++)
        {
            // The rail is read anew for the check; its scatter is averaged away.
            Assert.Equal(check.Predicted[i], predicted.Plate[i], 0.002);
            Assert.Equal(check.Uncertainty[i], Math.Sqrt(Math.Pow(predicted.Uncertainty[i], 2) + Math.Pow(predicted.ScatterVolts, 2)), 0.15 * check.Uncertainty[i]);
        }
    }

    [Fact]
    public void Beyond_what_was_measured_it_says_so()
    {
        var (_, fit) = Fit(11);
        var known = new SimulatedRuns(11).Run(Tube, Asked, Even(-6, 0, 16)).Known;
        Assert.Contains(OutputPrediction.Of(fit, Asked, known, -6, 24, 64)!.Beyond, s => s.Contains("drives beyond are extrapolated", StringComparison.Ordinal));
        Assert.Contains(OutputPrediction.Of(fit, Asked with { PlateRail = new(40) }, known, -6, 0, 64)!.Beyond, s => s.Contains("40 V is extrapolated", StringComparison.Ordinal));
    }

    [Fact]
    public void What_the_runs_leave_open_is_told_and_no_wider_than_the_rail()
    {
        var bench = new SimulatedRuns(17);
        var cutOff = bench.Run(Tube, Connection(ConnectionKind.Pentode), Even(-6, -1.2, 48));
        var fit = TubeFitter.Fit([cutOff], Options);
        var predicted = OutputPrediction.Of(fit, Connection(ConnectionKind.Pentode, plateOhms: 220_000), cutOff.Known, -6, 0, 64)!;
        // Between 0 and 28 V the rectangular distribution has a standard deviation of 8.08 V (JCGM 100:2008, 4.3.7).
        Assert.All(predicted.Uncertainty, u => Assert.InRange(u, 0, 8.1));
        var open = predicted.Uncertainty.Any(u => u > 8);
        Assert.Equal(open, predicted.Beyond.Any(s => s.Contains("leave the output open", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_refused_fit_predicts_nothing()
    {
        var bench = new SimulatedRuns(13);
        var run = bench.Run(Tube, Asked, Even(-6, 0, 4));
        var fit = TubeFitter.Fit([run], Options);
        Assert.Equal(ModelFitStatus.Refused, fit.Status);
        Assert.Throws<ArgumentException>(() => OutputPrediction.Of(fit, Asked, run.Known, -6, 0, 64));
        Assert.Throws<ArgumentException>(() => PredictionChecker.Of(fit, run));
    }

    private static (SimulatedRuns Bench, TubeModelFit Fit) Fit(ulong seed)
    {
        var bench = new SimulatedRuns(seed, offsetVolts: 2e-3, gain: 5e-4, ohms: 1e-3);
        var fit = TubeFitter.Fit([bench.Run(Tube, Connection(ConnectionKind.Pentode), Drives, "pentode"), bench.Run(Tube, Connection(ConnectionKind.Triode), Drives, "triode")], Options);
        Assert.NotEqual(ModelFitStatus.Refused, fit.Status);
        return (bench, fit);
    }
}
