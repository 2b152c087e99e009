using System.Diagnostics;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.Benchmarks.WholeSystem;

/// <summary>Wall time from "run on record" to "run ended" over the physical floor that the service states for the plan, over a pty.</summary>
public static class SweepOverhead
{
    private const int Rounds = 5;
    private const int Points = 512;

    public static async Task<FigureLine> MeasureAsync()
    {
        await using var bench = await PtyBench.StartAsync();
        var plan = Plans.Negative(Points, dwellMicroseconds: 2000);
        var floor = await bench.FloorSecondsAsync(plan);
        var ratios = new List<double>();
        // The first round warms heater, JIT and database; it is not counted.
        for (var round = 0; round <= Rounds; round++)
        {
            await using var watch = await RunWatch.ConnectAsync(bench.Url);
            await bench.StartRunAsync(plan.DeepClone());
            var started = await watch.Started.WaitAsync(TimeSpan.FromSeconds(30));
            var (ended, state) = await watch.Ended.WaitAsync(TimeSpan.FromSeconds(60));
            if (state != "complete") throw new InvalidOperationException($"The run ended {state}.");
            if (round > 0) ratios.Add(Stopwatch.GetElapsedTime(started, ended).TotalSeconds / floor);
        }
        var median = Percentile.Of(ratios, 50);
        return new(
            "sweep-overhead",
            $"{FigureLine.Text(median, "0.000")} times the floor",
            "<= 1.05",
            $"floor {FigureLine.Text(floor * 1000, "0.0")} ms for {Points} points at 2 ms, worst of {Rounds} {FigureLine.Text(ratios.Max(), "0.000")}",
            median <= 1.05);
    }
}
