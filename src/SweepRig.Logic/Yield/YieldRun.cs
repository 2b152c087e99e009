using System.Collections.Concurrent;
using MathNet.Numerics.Distributions;
using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Yield;

/// <summary>Builds a network many times in numbers, each time with other resistors, rails and drifts, and counts how often it is right.</summary>
public static class YieldRun
{
    /// <summary>Most trials of a run: the distance of each is kept.</summary>
    public const int MostTrials = 1_000_000;

    private const double CornerDeviations = 2;

    // Trials that a thread takes at a time, some tenths of a millisecond: few enough that all threads end together. A whole number of times the lanes of any processor.
    private const int Together = 128;

    /// <param name="tube">The measured tube for each place.</param>
    /// <param name="trials">1 to <see cref="MostTrials"/>.</param>
    /// <param name="seed">The same seed gives the same trials, on however many threads.</param>
    /// <param name="leastVolts">Distance from the threshold that every signal must keep.</param>
    /// <returns>Refused when the network is wrong with its nominal parts.</returns>
    public static Outcome<YieldResult> Run(GateNetwork network, Func<string, TubePart> tube, Tolerances tolerances, int trials, ulong seed, double leastVolts = 0, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(tube);
        ArgumentNullException.ThrowIfNull(tolerances);
        ArgumentOutOfRangeException.ThrowIfLessThan(trials, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(trials, MostTrials);
        var nominal = NominalTable.Of(network, tube);
        if (nominal.Value is not { } table) return Outcome<YieldResult>.Refuse(nominal.Refusals);
        var factors = new YieldFactors(table, tolerances);
        var lanes = LaneTable.Of(table);
        var options = new ParallelOptions { CancellationToken = cancel };
        var (distances, sums) = (new double[trials], new YieldSums?[(trials + Together - 1) / Together]);
        var (solutions, fallen) = (0L, 0);
        Parallel.ForEach(Partitioner.Create(0, trials, Together), options, () => new YieldTrials(table, lanes, factors, seed), (range, _, bench) =>
        {
            sums[range.Item1 / Together] = bench.Run(range.Item1, distances.AsSpan(range.Item1..range.Item2));
            return bench;
        }, bench =>
        {
            Interlocked.Add(ref solutions, bench.Solutions);
            Interlocked.Add(ref fallen, bench.FellOver);
        });
        var corners = new YieldCorner[table.Rows.Count];
        Parallel.Invoke(options, () => Array.Sort(distances), () => Parallel.For(0, corners.Length, options, () => new TableBench(table), (row, _, bench) =>
        {
            corners[row] = Corner(factors, bench, row);
            return bench;
        }, bench => Interlocked.Add(ref solutions, bench.Solutions)));
        var good = distances.Count(d => d > leastVolts);
        // In their order, whatever the threads did first: a sum hangs on it in its last digits.
        var all = new YieldSums(factors.Names.Count);
        foreach (var part in sums) all.Add(part!);
        return Outcome<YieldResult>.Accept(new(
            trials, good, good == 0 ? 0 : Beta.InvCDF(good, trials - good + 1, 0.025), good == trials ? 1 : Beta.InvCDF(good + 1, trials - good, 0.975),
            distances, Weights(factors, all), corners.Min(c => c.Volts), solutions)
            { FellOver = fallen, CornerReach = corners.Min(c => c.Reach), Quantities = factors.Varies.Count(v => v) });
    }

    private static List<YieldWeight> Weights(YieldFactors factors, YieldSums sums)
    {
        var weights = new List<YieldWeight>();
        for (var f = 0; f < factors.Names.Count; f++)
        {
            if (!factors.Varies[f]) continue;
            var correlation = sums.Correlation(f);
            weights.Add(new(factors.Names[f], correlation * correlation, correlation));
        }
        return [.. weights.OrderByDescending(w => w.Share)];
    }

    /// <summary>Every factor to the end at which it makes the row worse, then looked at again from there, for a network is not straight. In a row that is wrong slopes are those of a wrong state and lead nowhere.</summary>
    internal static YieldCorner Corner(YieldFactors factors, TableBench bench, int row)
    {
        var worst = new YieldCorner([], double.PositiveInfinity, 1);
        var at = new double[factors.Names.Count];
        for (var round = 0; round < 3 && worst.Volts > 0; round++)
        {
            var signs = new double[at.Length];
            for (var f = 0; f < at.Length; f++)
            {
                if (!factors.Varies[f]) continue;
                var (kept, step) = (at[f], round == 0 ? 0.1 : 0.2);
                at[f] = kept + step;
                factors.Put(at, bench);
                var above = bench.Distance(row);
                at[f] = kept - step;
                factors.Put(at, bench);
                signs[f] = above < bench.Distance(row) ? 1 : -1;
                at[f] = kept;
            }
            for (var f = 0; f < at.Length; f++) at[f] = signs[f] * (factors.IsBounded[f] ? 1 : CornerDeviations);
            factors.Put(at, bench);
            if (bench.Distance(row) is var volts && volts < worst.Volts) worst = new([.. at], volts, 1);
        }
        return worst.Volts > 0 ? worst : worst with { Reach = Reach(factors, bench, row, worst.At) };
    }

    // In steps first: on the way to a corner a row may be wrong and right again.
    private static double Reach(YieldFactors factors, TableBench bench, int row, double[] corner)
    {
        const int steps = 16, halvings = 8;
        bool IsRight(double share)
        {
            factors.Put([.. corner.Select(a => share * a)], bench);
            return bench.Distance(row) > 0;
        }
        var right = 0.0;
        while (right < 1 && IsRight(right + 1.0 / steps)) right += 1.0 / steps;
        var wrong = right + 1.0 / steps;
        for (var n = 0; n < halvings; n++)
        {
            var middle = (right + wrong) / 2;
            if (IsRight(middle)) right = middle;
            else wrong = middle;
        }
        return right;
    }
}
