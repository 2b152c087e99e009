using System.Diagnostics;
using SweepRig.Wire.Campaign;

namespace SweepRig.Benchmarks.Link;

/// <summary>
/// Short sweeps over lines that are bad in every way, each on a virtual clock of its own. SWEEPRIG_SWEEPS may give another number of them;
/// SWEEPRIG_REPLAY=kind:seed runs one again and tells all that happens.
/// </summary>
internal static class LinkFaults
{
    private const int Sweeps = 10_000;
    private const int ViolationsShown = 20;

    public static async Task<FigureLine> MeasureAsync()
    {
        if (Environment.GetEnvironmentVariable("SWEEPRIG_REPLAY")?.Split(':') is [var kind, var seed])
            return Line([await FaultCampaign.ReplayAsync(Enum.Parse<FaultKind>(kind), int.Parse(seed, System.Globalization.CultureInfo.InvariantCulture), Console.WriteLine)], TimeSpan.Zero, 1);
        var sweeps = int.TryParse(Environment.GetEnvironmentVariable("SWEEPRIG_SWEEPS"), out var asked) ? asked : Sweeps;
        var clock = Stopwatch.StartNew();
        return Line(await FaultCampaign.RunAsync(FaultCampaign.Sweeps(sweeps)), clock.Elapsed, Sweeps);
    }

    private static FigureLine Line(IReadOnlyList<SweepVerdict> verdicts, TimeSpan took, int wanted)
    {
        Console.WriteLine($"  {"kind",-16}{"sweeps",8}{"complete",10}{"with gaps",11}{"refused or tripped",20}{"frames damaged",16}{"repeats",9}{"wrong samples",15}{"unsafe ends",13}");
        foreach (var those in verdicts.GroupBy(v => v.Kind).OrderBy(g => g.Key)) Console.WriteLine(Row($"{those.Key}", [.. those]));
        Console.WriteLine(Row("all", verdicts));
        var bad = verdicts.Where(v => v.Violations.Count > 0).ToList();
        foreach (var v in bad.Take(ViolationsShown)) Console.WriteLine($"  SWEEPRIG_REPLAY={v.Kind}:{v.Seed} {v.End} {v.How}: {string.Join("; ", v.Violations)}");
        var (wrong, unsafeEnds) = (verdicts.Sum(v => v.WrongSamples), verdicts.Sum(v => v.UnsafeEnds));
        return new(
            "link-faults",
            $"{wrong} wrong samples, {unsafeEnds} unsafe ends, {bad.Count} violations in {verdicts.Count} sweeps",
            "0 wrong, 0 unsafe, 0 violations in 10000 sweeps",
            $"{verdicts.Sum(v => (long)v.Samples)} samples on record, {verdicts.Sum(v => v.FramesDamaged)} frames damaged, {FigureLine.Text(took.TotalSeconds, "0")} s",
            wrong == 0 && unsafeEnds == 0 && bad.Count == 0 && verdicts.Count >= wanted);
    }

    private static string Row(string name, IReadOnlyList<SweepVerdict> those)
    {
        int Ended(SweepEnd end) => those.Count(v => v.End == end);
        return $"  {name,-16}{those.Count,8}{Ended(SweepEnd.Complete),10}{Ended(SweepEnd.WithGaps),11}{Ended(SweepEnd.RefusedOrTripped),20}"
            + $"{those.Sum(v => v.FramesDamaged),16}{those.Sum(v => v.Repeats),9}{those.Sum(v => v.WrongSamples),15}{those.Sum(v => v.UnsafeEnds),13}";
    }
}
