using System.Diagnostics;
using SweepRig.Analysis.Matching;
using static SweepRig.Benchmarks.FigureLine;

namespace SweepRig.Benchmarks.Stock;

/// <summary>Groups of three and four against their bounds, and the best worst pair of 200 and of 2,000 tubes.</summary>
internal static class GroupsFigure
{
    public static Task<FigureLine> MeasureAsync()
    {
        (int Count, int Size)[] lots = [(60, 3), (60, 4), (200, 3), (200, 4), (1_000, 3)];
        var groups = lots.Select(l => Measure(() => Grouping.Best(l.Count, l.Size, SimulatedLot.Of(l.Count)))).ToArray();
        var worst = new[] { 200, 2_000 }.Select(n => Measure(() => Pairing.BestWorst(n, SimulatedLot.Of(n)))).ToArray();
        var sum = Pairing.Best(200, SimulatedLot.Of(200));
        return Task.FromResult(new FigureLine(
            "groups",
            string.Join("; ", lots.Zip(groups, (l, g) => $"{l.Count} tubes in groups of {l.Size} in {Text(g.Seconds)} s, {(g.Found.IsProvenBest ? "proven best" : $"at most {Text(100 * (g.Found.Total / g.Found.Bound - 1), "0.#")} % over the best")}"))
            + $"; best worst pair of 200 in {Text(worst[0].Seconds)} s, of 2,000 in {Text(worst[1].Seconds)} s",
            "60 tubes in threes within 1 % of the bound in 60 s; worst pair of 200 in 10 s",
            $"worst pair of 200: {Text(worst[0].Found.Worst, "0.000")}, in the pairing with the smallest sum {Text(sum.Worst, "0.000")}",
            groups[0].Found.Total <= 1.01 * groups[0].Found.Bound && groups[0].Seconds < 60 && worst[0].Seconds < 10));
    }

    private static (T Found, double Seconds) Measure<T>(Func<T> work)
    {
        var clock = Stopwatch.StartNew();
        var found = work();
        return (found, clock.Elapsed.TotalSeconds);
    }
}
