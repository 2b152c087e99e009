using System.Diagnostics;
using SweepRig.Analysis.Matching;
using static SweepRig.Benchmarks.FigureLine;

namespace SweepRig.Benchmarks.Stock;

/// <summary>The best pairing of 200 tubes, proven, and of 2,000 tubes against its bound; each beside what one would do by hand.</summary>
internal static class PairingFigure
{
    public static Task<FigureLine> MeasureAsync()
    {
        var (small, smallSeconds, smallRatio) = Measure(200);
        var (large, largeSeconds, largeRatio) = Measure(2_000);
        var over = large.Total / large.Bound - 1;
        return Task.FromResult(new FigureLine(
            "pairing",
            $"200 tubes in {Text(smallSeconds)} s, {(small.IsProvenBest ? "proven best" : "not proven")}; 2,000 tubes in {Text(largeSeconds)} s, {Text(100 * over, "0.####")} % over the bound",
            "200 proven in 10 s; 2,000 within 1 % of the bound in 60 s",
            $"by hand, always the nearest two: {Text(smallRatio, "0.000")} and {Text(largeRatio, "0.000")} times the sum",
            small.IsProvenBest && smallSeconds < 10 && largeSeconds < 60 && over <= 0.01));
    }

    private static (Pairing Pairing, double Seconds, double Ratio) Measure(int count)
    {
        var distance = SimulatedLot.Of(count);
        var clock = Stopwatch.StartNew();
        var pairing = Pairing.Best(count, distance);
        var seconds = clock.Elapsed.TotalSeconds;
        return (pairing, seconds, Pairing.Greedy(count, distance).Total / pairing.Total);
    }
}
