using System.Diagnostics;
using System.Text.Json.Nodes;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.Benchmarks.WholeSystem;

/// <summary>From starting <c>demo --once</c> to its first recorded sample, beside starting the same program for nothing but its version.</summary>
public static class FirstSample
{
    private const int Rounds = 5;

    public static async Task<FigureLine> MeasureAsync()
    {
        var first = new List<double>();
        var bare = new List<double>();
        for (var round = 0; round < Rounds; round++)
        {
            var clock = Stopwatch.StartNew();
            var (versionExit, _, _) = await SweepRigProcess.RunAsync(TimeSpan.FromSeconds(30), "--version");
            bare.Add(clock.Elapsed.TotalSeconds);
            var (exit, output, error) = await SweepRigProcess.RunAsync(TimeSpan.FromSeconds(120), "demo", "--once", "--json");
            if (versionExit != 0 || exit != 0) throw new InvalidOperationException(error);
            first.Add((double)JsonNode.Parse(output)!["firstSampleSeconds"]!);
        }
        var median = Percentile.Of(first, 50);
        return new(
            "first-sample",
            $"{FigureLine.Text(median, "0.00")} s",
            "<= 3 s",
            $"start for --version {FigureLine.Text(Percentile.Of(bare, 50), "0.00")} s, ratio {FigureLine.Text(median / Percentile.Of(bare, 50), "0.0")}, worst of {Rounds} {FigureLine.Text(first.Max(), "0.00")} s",
            median <= 3);
    }
}
