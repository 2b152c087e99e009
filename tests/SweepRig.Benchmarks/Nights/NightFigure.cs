using System.Globalization;
using SweepRig.Nights;

namespace SweepRig.Benchmarks.Nights;

/// <summary>A whole night of eight rigs on a virtual clock, with faults. SWEEPRIG_NIGHT=short runs the one of the test suite, SWEEPRIG_NIGHT=2000 one of so many jobs, a multiple of 64.</summary>
internal static class NightFigure
{
    private const int Shown = 20;
    private const double Flat = 0.05;

    public static async Task<FigureLine> MeasureAsync()
    {
        var plan = Environment.GetEnvironmentVariable("SWEEPRIG_NIGHT") switch
        {
            "short" => TrialPlan.Short,
            { } jobs => TrialPlan.Whole with { Jobs = int.Parse(jobs, CultureInfo.InvariantCulture) },
            _ => TrialPlan.Whole,
        };
        using var directory = new TrialDirectory();
        using var night = new SimulatedNight(plan, directory.Path, Console.WriteLine);
        var verdict = await night.RunAsync();
        foreach (var one in verdict.UnsafeStates.Concat(verdict.Violations).Take(Shown)) Console.WriteLine($"  {one}");
        var isMet = verdict is { UnsafeStates.Count: 0, SamplesLost: 0, Unaccounted: 0, Violations.Count: 0 } && verdict.Passed + verdict.Reported == plan.Jobs && plan == TrialPlan.Whole
            && Math.Abs(verdict.HeapRatio - 1) <= Flat && Math.Abs(verdict.ResidentRatio - 1) <= Flat && verdict.RealTime < TimeSpan.FromMinutes(20);
        return new(
            "night",
            $"{verdict.Passed} jobs passed, {verdict.Reported} reported, {verdict.Unaccounted} unaccounted for; {verdict.SamplesLost} samples lost, {verdict.UnsafeStates.Count} unsafe states, {verdict.Violations.Count} other violations; "
                + $"heap {FigureLine.Text(verdict.HeapRatio, "0.000")} and resident memory {FigureLine.Text(verdict.ResidentRatio, "0.000")} of the second hour's",
            $"{TrialPlan.Whole.Jobs} jobs done, repeated or reported, 0 lost, 0 unsafe, memory within 5 %, in 20 minutes",
            $"{FigureLine.Text(verdict.NightTime.TotalHours, "0.0")} h of night in {FigureLine.Text(verdict.RealTime.TotalMinutes, "0.0")} min, {verdict.Repeated} steps begun more than once, {verdict.Runs} runs, "
                + $"{verdict.SamplesAcknowledged} samples; {string.Join(", ", verdict.Faults.Select(f => $"{f.Key} {f.Value}"))}",
            isMet);
    }
}
