using SweepRig.Analysis.Health;
using SweepRig.Service.Tests.Screening;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Benchmarks.Health;

/// <summary>
/// A seeded lot of 60 simulated tubes, 15 of them defective, each through the whole screening: program, runner, link and simulated rig, whose clock runs ahead of ours.
/// Prints verdict against truth, and what this rig cannot see.
/// </summary>
public static class HealthConfusion
{
    private const int Seed = 4, MostFalseAlarms = 2;

    /// <summary>Another lot, for those who doubt this one.</summary>
    private static int LotSeed => int.TryParse(Environment.GetEnvironmentVariable("SWEEPRIG_LOT_SEED"), out var asked) ? asked : Seed;

    public static async Task<FigureLine> MeasureAsync()
    {
        var lot = TubeLot.Draw(new("SKUA", ExampleTubes.Sound6AU6, 60, 15), LotSeed);
        var tubes = await ScreenedLot.ScreenAsync(lot, "6AU6", Environment.ProcessorCount + 1);
        Console.WriteLine($"lot {lot.Name}, seed {lot.Seed}: {tubes.Count} tubes");
        Console.WriteLine($"{"truth",-20}{"tubes",6}{"good",6}{"doubtful",10}{"bad",6}");
        foreach (var kind in tubes.GroupBy(t => t.Truth.Defect?.Name ?? "sound").OrderBy(g => g.Key == "sound" ? 0 : 1).ThenBy(g => g.Key, StringComparer.Ordinal))
            Console.WriteLine($"{kind.Key,-20}{kind.Count(),6}{Count(kind, HealthVerdict.Good),6}{Count(kind, HealthVerdict.Doubtful),10}{Count(kind, HealthVerdict.Bad),6}");
        foreach (var tube in tubes.Where(t => t.IsDefective || t.IsCalledBad))
            Console.WriteLine($"{tube.Truth.Label} {tube.Truth.Fault?.ToString() ?? "sound"}: {tube.Report.Verdict.ToString().ToLowerInvariant()}; {string.Join("; ", tube.Report.Reasons)}");
        Console.WriteLine("figures of the sound tubes, lowest and highest:");
        foreach (var item in tubes.Where(t => !t.IsDefective).SelectMany(t => t.Report.Items).Where(i => i.Figure.Value is not null).GroupBy(i => i.Name))
            Console.WriteLine(FormattableString.Invariant($"  {item.Key,-30} {item.Min(i => i.Figure.Value):g4} to {item.Max(i => i.Figure.Value):g4} {item.First().Figure.Unit}, expanded uncertainty up to {item.Max(i => i.Figure.ExpandedUncertainty):g2}"));
        Console.WriteLine("not seen by this rig at this rail:");
        foreach (var line in tubes.First(t => t.Report.Verdict == HealthVerdict.Good).Report.NotSeen) Console.WriteLine($"  {line}");

        var visible = tubes.Count(t => t.Truth.Defect is { ShowsHere: true });
        var hidden = tubes.Count(t => t.Truth.Defect is { ShowsHere: false });
        var missed = tubes.Count(t => t.IsMissed);
        var alarms = tubes.Count(t => t.IsFalseAlarm);
        var doubts = tubes.Count(t => !t.IsDefective && t.Report.Verdict == HealthVerdict.Doubtful);
        return new(
            "health-confusion",
            $"{visible - missed} of {visible} visible defects found, {alarms} false alarms",
            $"all found, at most {MostFalseAlarms} false alarms in {tubes.Count} tubes",
            $"{tubes.Count(t => !t.IsDefective)} sound tubes, of which {doubts} doubtful; {hidden} defective tube(s) with what this rig has nothing to see with",
            missed == 0 && alarms <= MostFalseAlarms);
    }

    private static int Count(IEnumerable<ScreenedTruth> tubes, HealthVerdict verdict) => tubes.Count(t => t.Report.Verdict == verdict);
}
