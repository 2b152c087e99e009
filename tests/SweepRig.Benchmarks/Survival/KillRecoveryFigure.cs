using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.EndToEnd.Tests.Harness.Kills;

namespace SweepRig.Benchmarks.Survival;

/// <summary>2,000 times a real service with a simulated rig is killed (SIGKILL) at a random moment, while it starts or sweeps, and started again on the same data. Two at a time, one with a night under way.</summary>
public static class KillRecoveryFigure
{
    private const int Kills = 2_000, AtATime = 2;

    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(5);

    public static async Task<FigureLine> MeasureAsync()
    {
        var directories = Enumerable.Range(0, AtATime).Select(_ => Directory.CreateTempSubdirectory("sweeprig-kills-").FullName).ToArray();
        try
        {
            var report = KillReport.Sum(await Task.WhenAll(directories.Select((d, i) => new KillCampaign(Repository.Executable, d, seed: 1 + i, ofNight: i % 2 == 0).RunAsync(Kills / AtATime))));
            foreach (var fault in report.Faults.Take(20)) Console.Error.WriteLine(fault);
            // The first of each directory makes the store.
            var restarts = report.Restarts.Select(r => r.TotalSeconds).ToArray();
            var longest = restarts.Max();
            return new(
                "kill-recovery",
                $"{report.Faults.Count} losses or faults in {report.Kills} kills ({report.WhileStarting} of them while starting; {report.Samples} samples of {report.Runs} runs and {report.Steps} steps of nights acknowledged), restart to an answer or a running night {FigureLine.Text(longest)} s at most, {FigureLine.Text(Percentile.Of(restarts, 50))} s in the middle",
                $"no acknowledged sample lost, no store unreadable, restart under {Limit.TotalSeconds:0} s",
                $"{report.Complete} runs that ended by themselves in the same service",
                report.Faults.Count == 0 && report.Kills == Kills && longest < Limit.TotalSeconds);
        }
        finally
        {
            foreach (var directory in directories) Directory.Delete(directory, recursive: true);
        }
    }
}
