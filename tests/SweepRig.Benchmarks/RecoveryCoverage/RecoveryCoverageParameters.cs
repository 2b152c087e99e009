using SweepRig.Analysis.Models;
using SweepRig.Analysis.Tests.Models;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Benchmarks.RecoveryCoverage;

/// <summary>Constants of tubes of a lot, each fitted to a pentode and a triode sweep of its own bench.</summary>
internal static class RecoveryCoverageParameters
{
    private sealed class Tally
    {
        public int Count, Covered;
        public double Error;
    }

    public static RecoveryCoveragePart Measure(int sweeps)
    {
        var tubes = new LotSpread().Draw(ExampleTubes.Sound6BH6, 1947, sweeps);
        var drives = SimulatedRuns.Even(-6, 24, 128);
        var tallies = TubeCoordinates.All.ToDictionary(c => c, _ => new Tally());
        var refused = 0;
        for (var n = 0; n < sweeps; n++)
        {
            var bench = new SimulatedRuns((ulong)n, offsetVolts: 1e-3, gain: 3e-4, ohms: 1e-3);
            var fit = TubeFitter.Fit(
            [
                bench.Run(tubes[n], SimulatedRuns.Connection(ConnectionKind.Pentode), drives, "pentode"),
                bench.Run(tubes[n], SimulatedRuns.Connection(ConnectionKind.Triode), drives, "triode"),
            ], new() { Typical = ExampleTubes.Sound6BH6 });
            if (fit.Status != ModelFitStatus.Good)
            {
                refused++;
                Console.Error.WriteLine($"tube {n}: {fit.Status}: {string.Join("; ", fit.Findings.Select(f => f.Says))}");
                continue;
            }
            foreach (var constant in fit.Constants.Where(c => c.IsDetermined)) Count(tallies[constant.Constant], constant, tubes[n], fit);
        }
        // A constant that few of the sweeps determine has too few intervals to be judged by; it is named.
        var judged = tallies.Where(t => t.Value.Count >= sweeps / 2).ToDictionary();
        foreach (var (constant, tally) in tallies)
            Console.Error.WriteLine($"{constant,-24} {tally.Count,5} intervals, {FigureLine.Text(100.0 * tally.Covered / Math.Max(1, tally.Count), "0.0"),5} % hold the truth, bias {FigureLine.Text(tally.Error / Math.Max(1, tally.Count), "0.000")} u");
        var least = judged.MinBy(t => Coverage(t.Value));
        var most = judged.MaxBy(t => Coverage(t.Value));
        var bias = judged.MaxBy(t => Math.Abs(t.Value.Error / t.Value.Count));
        return new(
            "parameters", Coverage(least.Value), Coverage(most.Value), Math.Abs(bias.Value.Error / bias.Value.Count),
            $"{judged.Count} constants of {sweeps} tubes, {least.Key} {FigureLine.Text(100 * Coverage(least.Value), "0.0")} % to {most.Key} {FigureLine.Text(100 * Coverage(most.Value), "0.0")} %, bias at most {FigureLine.Text(bias.Value.Error / bias.Value.Count, "0.000")} u ({bias.Key}), {refused} fits not good");
    }

    private static double Coverage(Tally tally) => (double)tally.Covered / tally.Count;

    private static void Count(Tally tally, FittedConstant found, TubeParameters truth, TubeModelFit fit)
    {
        var value = TubeCoordinates.Value(truth, found.Constant);
        tally.Count++;
        if (value >= found.Low && value <= found.High) tally.Covered++;
        // In the coordinate, where the interval is (nearly) symmetric.
        var u = Math.Sqrt(fit.Covariance[(int)found.Constant * (TubeCoordinates.All.Count + 1)]);
        tally.Error += (TubeCoordinates.ToCoordinate(found.Constant, found.Figure.Value!.Value) - TubeCoordinates.ToCoordinate(found.Constant, value)) / u;
    }
}
