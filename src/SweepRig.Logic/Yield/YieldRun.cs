using MathNet.Numerics.Distributions;
using SweepRig.Analysis.Uncertainty;
using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Yield;

/// <summary>Builds a network many times in numbers, each time with other resistors, rails and drifts, and counts how often it is right.</summary>
public static class YieldRun
{
    private const double CornerDeviations = 2;

    /// <param name="tube">The measured tube for each place.</param>
    /// <param name="trials">At least 1.</param>
    /// <param name="seed">The same seed gives the same trials, on however many threads.</param>
    /// <param name="leastVolts">Distance from the threshold that every signal must keep.</param>
    /// <returns>Refused when the network is wrong with its nominal parts.</returns>
    public static Outcome<YieldResult> Run(GateNetwork network, Func<string, TubePart> tube, Tolerances tolerances, int trials, ulong seed, double leastVolts = 0, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(tube);
        ArgumentNullException.ThrowIfNull(tolerances);
        ArgumentOutOfRangeException.ThrowIfLessThan(trials, 1);
        var nominal = NominalTable.Of(network, tube);
        if (nominal.Value is not { } table) return Outcome<YieldResult>.Refuse(nominal.Refusals);
        var factors = new YieldFactors(table, tolerances);
        var distances = new double[trials];
        var drawn = new float[trials][];
        long solutions = 0;
        Parallel.For(0, trials, new ParallelOptions { CancellationToken = cancel }, () => new TableBench(table), (trial, _, bench) =>
        {
            var at = Draw(factors, seed, trial);
            factors.Put(at, bench);
            distances[trial] = bench.WorstDistance();
            drawn[trial] = [.. at.Select(a => (float)a)];
            return bench;
        }, bench => Interlocked.Add(ref solutions, bench.Solutions));
        var good = distances.Count(d => d > leastVolts);
        var last = new TableBench(table);
        var corner = Corner(table, factors, last);
        return Outcome<YieldResult>.Accept(new(
            trials, good, good == 0 ? 0 : Beta.InvCDF(good, trials - good + 1, 0.025), good == trials ? 1 : Beta.InvCDF(good + 1, trials - good, 0.975),
            [.. distances.Order()], Weights(factors, drawn, distances), corner, solutions + last.Solutions));
    }

    private static double[] Draw(YieldFactors factors, ulong seed, int trial)
    {
        // A stream of its own for each trial: what one trial draws does not hang on how many came before on its thread.
        var random = new RandomStream(seed + 0x9E3779B97F4A7C15UL * (ulong)(trial + 1));
        var at = new double[factors.Names.Count];
        for (var f = 0; f < at.Length; f++) at[f] = factors.IsBounded[f] ? 2 * random.Uniform() - 1 : random.Normal();
        return at;
    }

    private static List<YieldWeight> Weights(YieldFactors factors, float[][] drawn, double[] distances)
    {
        var weights = new List<YieldWeight>();
        double mean = distances.Average(), variance = distances.Sum(d => (d - mean) * (d - mean));
        for (var f = 0; f < factors.Names.Count; f++)
        {
            if (!factors.Varies[f]) continue;
            var centre = drawn.Average(d => d[f]);
            double both = 0, own = 0;
            for (var t = 0; t < drawn.Length; t++)
            {
                both += (drawn[t][f] - centre) * (distances[t] - mean);
                own += (drawn[t][f] - centre) * (drawn[t][f] - centre);
            }
            var correlation = own > 0 && variance > 0 ? both / Math.Sqrt(own * variance) : 0;
            weights.Add(new(factors.Names[f], correlation * correlation, correlation));
        }
        return [.. weights.OrderByDescending(w => w.Share)];
    }

    // Row by row: every factor to the end at which it makes that row worse, then looked at again from there, for a network is not straight.
    private static double Corner(NominalTable table, YieldFactors factors, TableBench bench)
    {
        var worst = double.PositiveInfinity;
        for (var row = 0; row < table.Rows.Count; row++)
        {
            var at = new double[factors.Names.Count];
            for (var round = 0; round < 3; round++)
            {
                var signs = new double[at.Length];
                for (var f = 0; f < at.Length; f++)
                {
                    if (!factors.Varies[f]) continue;
                    var (kept, step) = (at[f], round == 0 ? 0.1 : 0.2);
                    at[f] = kept + step;
                    factors.Put(at, bench);
                    var above = bench.Distance(row, out _);
                    at[f] = kept - step;
                    factors.Put(at, bench);
                    signs[f] = above < bench.Distance(row, out _) ? 1 : -1;
                    at[f] = kept;
                }
                for (var f = 0; f < at.Length; f++) at[f] = signs[f] * (factors.IsBounded[f] ? 1 : CornerDeviations);
                factors.Put(at, bench);
                worst = Math.Min(worst, bench.Distance(row, out _));
            }
        }
        return worst;
    }
}
