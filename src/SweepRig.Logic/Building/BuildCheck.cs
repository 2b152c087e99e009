using MathNet.Numerics.Distributions;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Building;

/// <summary>Holds what was read at a build against what every single fault would show, and says which of them explain it.</summary>
/// <remarks>
/// Each fault is solved anew in every row with the meter at the node. Readings share their causes, a rail that is high lifts them all: the misfit is chi-square with the whole
/// covariance of the readings, from how far each follows every resistor, rail and tube (JCGM 102:2011, 6.2, from memory), and faults are ranked by likelihood. Kept are as many as hold 99 % of it: the right one is among them 99 times of 100, if it was looked for at all.
/// </remarks>
public static class BuildCheck
{
    public const double LeastMeterOhms = 1e3, MostMeterOhms = 1e12, MostVolts = 100;

    // With hundreds of faults to choose from, the best is ahead by chance of many that are as good: those are kept that hold so much of the probability together.
    private const double Kept = 0.99;
    private const double ChanceOfMore = 1e-3, ClearDeviations = 3;
    private const int MostCompared = 6, MostNext = 3;

    /// <param name="readings">At least one.</param>
    /// <param name="stock">Tubes that could stand in a place by mistake.</param>
    /// <returns>Refused with every reading that cannot be one.</returns>
    public static Outcome<BuildVerdict> Run(BuildPlan plan, IReadOnlyList<BuildReading> readings, IReadOnlyList<TubePart> stock, BuildTolerances tolerances, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(readings);
        ArgumentNullException.ThrowIfNull(stock);
        ArgumentNullException.ThrowIfNull(tolerances);
        var faults = Faults(plan, readings);
        if (faults.Count > 0) return Outcome<BuildVerdict>.Refuse(faults);
        var usual = readings.GroupBy(r => r.MeterOhms).MaxBy(g => g.Count())!.Key;
        ReadingPoint[] points = [.. readings.Select(r => new ReadingPoint(r.Node, r.Row, r.MeterOhms)).Concat(plan.Rows.SelectMany(r => plan.Nodes.Select(n => new ReadingPoint(n, r.Name, usual)))).Distinct()];
        return Outcome<BuildVerdict>.Accept(Judge(JudgeOf(FaultDictionary.Of(plan, BuildFaults.Of(plan, stock), points, tolerances, cancel), readings), readings));
    }

    internal static FaultJudge JudgeOf(FaultDictionary dictionary, IReadOnlyList<BuildReading> readings) => new(dictionary, Places(dictionary, readings));

    private static int[] Places(FaultDictionary dictionary, IReadOnlyList<BuildReading> readings)
    {
        var place = dictionary.Points.Select((p, at) => (p, at)).ToDictionary(p => p.p, p => p.at);
        return [.. readings.Select(r => place[new(r.Node, r.Row, r.MeterOhms)])];
    }

    internal static BuildVerdict Judge(FaultJudge judge, IReadOnlyList<BuildReading> readings)
    {
        var dictionary = judge.Dictionary;
        var at = Places(dictionary, readings);
        double[] volts = [.. readings.Select(r => r.Volts)];
        var judged = dictionary.Faults.Select((f, place) => (Fault: f, Found: judge.Judge(place, volts))).OrderBy(j => j.Found.Likelihood).ToList();
        var best = judged[0].Found.Likelihood;
        var shares = judged.Select(j => Math.Exp(-0.5 * (j.Found.Likelihood - best))).ToList();
        var all = shares.Sum();
        var reached = 0.0;
        var kept = judged.Zip(shares, (j, share) => (j.Fault, j.Found, Share: share / all)).TakeWhile(j => reached < Kept && (reached += j.Share) >= 0).ToList();
        List<BuildExplanation> explanations = [.. kept.Select(j => new BuildExplanation(j.Fault.Fault, j.Found.Misfit, j.Share, Worst(dictionary, j.Fault, at, readings)))];
        var enough = ChiSquared.InvCDF(readings.Count, 1 - ChanceOfMore);
        var isSound = kept.Any(k => k.Fault.Fault.IsNone && k.Found.Misfit <= enough);
        var isExplained = kept[0].Found.Misfit <= enough;
        var next = isSound || !isExplained ? [] : Next(dictionary, [.. kept.Take(MostCompared).Select(k => k.Fault)], [.. at]);
        return new(isSound, isExplained, explanations, dictionary.Faults.Count, next, BuildWords.Say(isSound, isExplained, explanations, next, readings.Count));
    }

    private static (BuildReading, double) Worst(FaultDictionary dictionary, FaultPrediction fault, int[] at, IReadOnlyList<BuildReading> readings)
    {
        var worst = Enumerable.Range(0, at.Length).MaxBy(i => Math.Abs(readings[i].Volts - fault.Volts[at[i]]) / dictionary.Deviation(fault, at[i]));
        return (readings[worst], fault.Volts[at[worst]]);
    }

    private static List<NextReading> Next(FaultDictionary dictionary, List<FaultPrediction> alike, HashSet<int> read)
    {
        if (alike.Count < 2) return [];
        return
        [
            .. Enumerable.Range(0, dictionary.Points.Count).Where(p => !read.Contains(p) && alike.All(f => !double.IsNaN(f.Volts[p])))
                .Select(p => (Point: p, Pairs: Pairs(dictionary, alike, p))).Where(p => p.Pairs > 0).OrderByDescending(p => p.Pairs).Take(MostNext)
                .Select(p => new NextReading(dictionary.Points[p.Point].Node, dictionary.Points[p.Point].Row, dictionary.Points[p.Point].MeterOhms, [.. alike.Select(f => (f.Fault, f.Volts[p.Point]))])),
        ];
    }

    // Pairs of explanations that a reading there would tell apart; among as many, the one that does it most clearly.
    private static double Pairs(FaultDictionary dictionary, List<FaultPrediction> alike, int point)
    {
        double pairs = 0, clear = 0;
        for (var a = 0; a < alike.Count; a++)
        {
            for (var b = a + 1; b < alike.Count; b++)
            {
                double x = dictionary.Deviation(alike[a], point), y = dictionary.Deviation(alike[b], point);
                var apart = Math.Abs(alike[a].Volts[point] - alike[b].Volts[point]) / Math.Sqrt(x * x + y * y);
                if (apart < ClearDeviations) continue;
                pairs++;
                clear += Math.Min(apart, 100);
            }
        }
        return pairs == 0 ? 0 : pairs + clear / 1e4;
    }

    private static List<Refusal> Faults(BuildPlan plan, IReadOnlyList<BuildReading> readings)
    {
        List<Refusal> faults = [];
        if (readings.Count == 0) faults.Add(new("no-readings", "/readings", "no readings are given", "at least one is needed", "Read the outputs in every row first."));
        string[] nodes = [.. plan.Network.Nodes], rows = [.. plan.Rows.Select(r => r.Name)];
        foreach (var (reading, at) in readings.Select((r, at) => (r, at)))
        {
            var path = FormattableString.Invariant($"/readings/{at}");
            if (!nodes.Contains(reading.Node, StringComparer.Ordinal))
                faults.Add(new("node-unknown", path + "/node", $"node {reading.Node}", $"{plan.Network.Name} has no such node", NearestKey.Of(reading.Node, nodes) is { } near ? $"Did you mean {near}?" : $"Its nodes are {string.Join(", ", nodes.Take(12))}{(nodes.Length > 12 ? ", ..." : "")}."));
            if (!rows.Contains(reading.Row, StringComparer.Ordinal))
                faults.Add(new("row-unknown", path + "/row", $"row \"{reading.Row}\"", $"{plan.Network.Name} has the rows {string.Join("; ", rows.Take(8))}{(rows.Length > 8 ? "; ..." : "")}", "Write one of them as it stands in the checklist."));
            if (!(Math.Abs(reading.Volts) <= MostVolts))
                faults.Add(new("volts-out-of-range", path + "/volts", $"{reading.Volts:R} V at {reading.Node}", $"-{MostVolts:0} to {MostVolts:0} V can be a reading of an extra-low-voltage network", "Look at the range of the meter and write volts."));
            if (!(reading.MeterOhms is >= LeastMeterOhms and <= MostMeterOhms))
                faults.Add(new("meter-out-of-range", path + "/meterOhms", $"a meter of {Engineering.Format(reading.MeterOhms, "Ω")}", $"{Engineering.Format(LeastMeterOhms, "Ω")} to {Engineering.Format(MostMeterOhms, "Ω")} is allowed", "Take its input resistance from its sheet; 10 MΩ is usual."));
        }
        return faults;
    }
}
