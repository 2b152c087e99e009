using SweepRig.Analysis;
using SweepRig.Analysis.Predictions;
using SweepRig.Analysis.Tests.Designs;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.Fits;

/// <summary>
/// Points that an adaptive sweep takes to reach the uncertainty of the switching point that an even sweep of 192 points over the same range reaches; tubes of a
/// lot in both connections, the same fit and the same scatter on both sides. How often the truth lies in the interval stated is told beside: an uncertainty stated too
/// small would save points for nothing.
/// </summary>
public static class AdaptiveSavingFigure
{
    private const int Tubes = 12, EvenPoints = 192;
    private const double From = -8, To = 4;

    public static Task<FigureLine> MeasureAsync()
    {
        var tubes = new LotSpread().Draw(ExampleTubes.Sound6BH6, 31, Tubes);
        List<double> shares = [];
        List<double> even = [], adaptive = [];
        for (var n = 0; n < Tubes; n++)
            foreach (var kind in (ConnectionKind[])[ConnectionKind.Pentode, ConnectionKind.Triode])
            {
                var connection = SimulatedRuns.Connection(kind);
                var bench = new SimulatedRuns((ulong)n + 1);
                var truth = Steepest(tubes[n], connection);
                var run = bench.Run(tubes[n], connection, SimulatedRuns.Even(From, To, EvenPoints));
                var reached = SwitchingPrediction.Of(AdaptiveSweeps.Fit([run], ExampleTubes.Sound6BH6), connection, run.Known, From, To)!.Drive;
                var sweep = AdaptiveSweeps.Run(bench, tubes[n], connection, From, To, reached.Uncertainty!.Value, ExampleTubes.Sound6BH6);
                shares.Add((double)sweep.Points / EvenPoints);
                even.Add(Deviation(reached, truth));
                adaptive.Add(Deviation(sweep.Switching, truth));
            }
        var (mean, worst) = (shares.Average(), shares.Max());
        return Task.FromResult(new FigureLine(
            "adaptive-saving",
            $"{FigureLine.Text(100 * mean, "0")} % of the points in the mean, {FigureLine.Text(100 * worst, "0")} % in the worst of {shares.Count} sweeps",
            $"at most a third of the points of an even sweep of {EvenPoints} for the same uncertainty of the switching point",
            $"truth within the 95 % interval in {adaptive.Count(z => Math.Abs(z) <= 2)} of {shares.Count} adaptive and {even.Count(z => Math.Abs(z) <= 2)} even sweeps; root mean square error {Rms(adaptive)} and {Rms(even)} u",
            mean <= 1.0 / 3 && worst <= 1.0 / 3));
    }

    private static double Deviation(Figure found, double truth) => (found.Value!.Value - truth) / found.Uncertainty!.Value;

    private static string Rms(List<double> z) => FigureLine.Text(Math.Sqrt(z.Average(x => x * x)));

    // By the solver that fits do not use: slopes over a millivolt, then the vertex of a parabola.
    private static double Steepest(TubeParameters tube, Connection connection)
    {
        var solver = new FixtureSolver(connection);
        var model = new TubeModel(tube, connection.Heater);
        double Slope(double drive) => (solver.Solve(model, drive + 1e-3).Plate - solver.Solve(model, drive - 1e-3).Plate) / 2e-3;
        var near = SimulatedRuns.Even(From, To, 12_001).MinBy(Slope);
        const double h = 1e-3;
        var (left, here, right) = (Slope(near - h), Slope(near), Slope(near + h));
        return near + 0.5 * h * (left - right) / (left - 2 * here + right);
    }
}
