using System.Diagnostics;
using SweepRig.EndToEnd.Tests.Harness.Kills;

namespace SweepRig.Benchmarks.Survival;

/// <summary>
/// 2,000 times the self-contained build with a simulated rig is killed (SIGKILL) at a random moment, while it starts or sweeps, and started again on the same data. Two at a time, one of them with a night
/// under way. SWEEPRIG_KILLS=200 makes fewer, for a first look.
/// </summary>
public static class KillRecoveryFigure
{
    private const int Kills = 2_000, AtATime = 2;

    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(5);

    public static async Task<FigureLine> MeasureAsync()
    {
        var kills = int.TryParse(Environment.GetEnvironmentVariable("SWEEPRIG_KILLS"), out var asked) ? asked : Kills;
        using var service = await PublishedService.MakeAsync();
        var directories = Enumerable.Range(0, AtATime).Select(_ => Directory.CreateTempSubdirectory("sweeprig-kills-").FullName).ToArray();
        try
        {
            var clock = Stopwatch.StartNew();
            var report = KillReport.Sum(await Task.WhenAll(directories.Select((d, i) => new KillCampaign(service.Executable, d, seed: 1 + i, ofNight: i % 2 == 0).RunAsync(kills / AtATime))));
            var perKill = clock.Elapsed.TotalSeconds / kills;
            foreach (var fault in report.Faults.Take(20)) Console.Error.WriteLine(fault);
            var restarts = report.TakenUp.Select(r => r.After.TotalSeconds).ToArray();
            var slowest = report.TakenUp.MaxBy(r => r.After)!;
            var (longest, answered) = (slowest.After.TotalSeconds, slowest.Answered.TotalSeconds);
            Console.Error.WriteLine($"The longest start, after its rig was connected: {string.Join("; ", slowest.Said)}");
            return new(
                "kill-recovery",
                $"{report.Faults.Count} losses or faults in {report.Kills} kills ({report.WhileStarting} of them while starting; {report.Samples} samples of {report.Runs} runs and {report.Steps} steps of nights acknowledged); "
                    + $"queue runs {FigureLine.Text(longest)} s after a start at most (its first answer came after {FigureLine.Text(answered)} s), {FigureLine.Text(Percentile.Of(restarts, 50))} s in the middle, {FigureLine.Text(Percentile.Of(restarts, 99))} s at the 99th percentile of {restarts.Length}",
                $"{Kills} kills, no acknowledged sample lost, no store unreadable, restart under {Limit.TotalSeconds:0} s",
                $"{report.Complete} runs that ended by themselves in the same service; first answer of {report.Answers.Count} starts {FigureLine.Text(Percentile.Of([.. report.Answers.Select(a => a.TotalSeconds)], 50))} s in the middle; "
                    + $"{FigureLine.Text(perKill)} s a kill, {AtATime} services side by side",
                report.Faults.Count == 0 && report.Kills == Kills && longest < Limit.TotalSeconds);
        }
        finally
        {
            foreach (var directory in directories) Directory.Delete(directory, recursive: true);
        }
    }
}
