using System.Collections.Concurrent;
using SweepRig.Analysis.Levels;

namespace SweepRig.Benchmarks.RecoveryCoverage;

/// <summary>
/// 1,000 seeded sweeps of drawn tubes on drawn benches: how often does the stated 95 % interval of each level hold the truth, and how large is the mean error beside the standard
/// uncertainty?
/// </summary>
internal static class RecoveryCoverageLevels
{
    /// <param name="Name">Of the level.</param>
    /// <param name="Share">Of the sweeps whose interval holds the truth, 0 to 1.</param>
    /// <param name="Bias">
    /// Mean error over the root mean square of the standard uncertainty. Each sweep is averaged with its mirrored twin, so that a thousand sweeps tell a bias of a few hundredths.
    /// </param>
    /// <param name="Found">Sweeps that had the level.</param>
    private sealed record Recovered(string Name, double Share, double Bias, int Found);

    public static RecoveryCoveragePart Measure(int sweeps)
    {
        var recovered = Recover(sweeps);
        foreach (var r in recovered)
            Console.Error.WriteLine($"{r.Name,-24} {r.Found,5} intervals, {FigureLine.Text(100 * r.Share, "0.0"),5} % hold the truth, bias {FigureLine.Text(r.Bias, "0.000")} u");
        // A level that few of the curves have has too few intervals to be judged by.
        var judged = recovered.Where(r => r.Found >= sweeps / 2).ToArray();
        var (least, most, bias) = (judged.MinBy(r => r.Share)!, judged.MaxBy(r => r.Share)!, judged.MaxBy(r => Math.Abs(r.Bias))!);
        return new(
            "levels", least.Share, most.Share, Math.Abs(bias.Bias),
            $"{judged.Length} levels of {sweeps} sweeps, {least.Name} {FigureLine.Text(100 * least.Share, "0.0")} % to {most.Name} {FigureLine.Text(100 * most.Share, "0.0")} %, bias at most {FigureLine.Text(bias.Bias, "0.000")} u ({bias.Name})");
    }

    private static Recovered[] Recover(int seeds)
    {
        var options = new LevelOptions();
        var errors = new ConcurrentBag<(string Name, double Error, double Uncertainty, double Expanded, double MeanOfTwins)>();
        Parallel.For(1, seeds + 1, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, seed =>
        {
            var sweep = new SeededSweep(seed);
            var truth = TrueLevels.Of(sweep, options);
            var twin = new SeededSweep(seed, mirrored: true);
            var twinTruth = TrueLevels.Of(twin, options);
            foreach (var ((name, figure), (_, other)) in Found(sweep, options).Zip(Found(twin, options)))
            {
                if (figure.Value is not { } value) continue;
                var error = value - truth[name];
                errors.Add((name, error, figure.Uncertainty!.Value, figure.ExpandedUncertainty!.Value, other.Value is { } v ? (error + v - twinTruth[name]) / 2 : error));
            }
        });
        return
        [
            .. errors.GroupBy(e => e.Name).Select(g => new Recovered(
                g.Key,
                g.Count(e => Math.Abs(e.Error) <= e.Expanded) / (double)g.Count(),
                g.Average(e => e.MeanOfTwins) / Math.Sqrt(g.Average(e => e.Uncertainty * e.Uncertainty)),
                g.Count())).OrderBy(r => r.Share),
        ];
    }

    private static IEnumerable<(string Name, Analysis.Figure Figure)> Found(SeededSweep sweep, LevelOptions options) =>
        TrueLevels.Found(LevelFinder.Find(sweep.Curve, SeededSweep.Connection, options, SeededSweep.Known));
}
