using System.Diagnostics;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.Benchmarks.WholeSystem;

/// <summary>Sustained samples over a pty for a minute, with the service's processor time beside the simulated rig's.</summary>
public static class LinkThroughput
{
    private const int PointsPerPass = 15_000;
    private const int Passes = 22;

    public static async Task<FigureLine> MeasureAsync()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync(FineDrive.Options);
        // 5 channels of 16 us: 105 us of dwell give 5,400 a second, so that the time between passes does not take it below 5,000.
        await using var watch = await RunWatch.ConnectAsync(bench.Url);
        var runId = await bench.StartRunAsync(Plans.Negative(PointsPerPass, dwellMicroseconds: 105, Passes));
        var started = await watch.Started.WaitAsync(TimeSpan.FromSeconds(30));
        var service = new ProcessorTime(bench.Service.Id);
        var rig = new ProcessorTime(Environment.ProcessId);
        var (ended, state) = await watch.Ended.WaitAsync(TimeSpan.FromMinutes(3));
        var serviceShare = service.ShareOfOneCore();
        var rigShare = rig.ShareOfOneCore();
        var seconds = Stopwatch.GetElapsedTime(started, ended).TotalSeconds;
        var run = await bench.UntilRunAsync(runId, r => (string?)r["endedUtc"] is not null);
        var recorded = (long)run["samples"]!;
        var lost = (long)PointsPerPass * Passes - recorded + run["gaps"]!.AsArray().Count;
        var rate = recorded / seconds;
        return new(
            "link-throughput",
            $"{FigureLine.Text(rate, "0")} samples/s for {FigureLine.Text(seconds, "0")} s, {lost} lost, service {FigureLine.Text(serviceShare * 100, "0")} % of a core",
            ">= 5000 samples/s for 60 s, 0 lost, < 40 % of a core",
            $"rig and viewer in one other process {FigureLine.Text(rigShare * 100, "0")} % of a core, ratio {FigureLine.Text(serviceShare / rigShare, "0.00")}; run {state}",
            rate >= 5000 && seconds >= 58 && lost == 0 && serviceShare < 0.4 && state == "complete");
    }
}
