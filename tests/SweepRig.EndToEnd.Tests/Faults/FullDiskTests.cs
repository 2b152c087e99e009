using System.Text.Json.Nodes;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Faults;

/// <summary>The data directory on a file system of 2 MB that fills up during the sweep.</summary>
public sealed class FullDiskTests
{
    [Fact]
    public async Task A_full_disk_trips_keeps_what_was_recorded_and_leaves_the_rig_safe()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync(dataOnDiskOfKilobytes: 2_000);
        // What is left is taken by another file, as it is in life, but for some blocks.
        await FillAsync(bench.DataDirectory, leaveKilobytes: 96);

        var runId = await bench.StartRunAsync(TestPlans.Long);

        var state = await bench.UntilBenchAsync("the trip", b => b["trip"] is not null);
        Assert.Equal("recording-failed", (string?)state["trip"]!["cause"]);
        Assert.Contains("full", (string?)state["trip"]!["measured"], StringComparison.Ordinal);
        Assert.Contains("Free space", (string?)state["trip"]!["remedy"], StringComparison.Ordinal);
        await bench.Rig!.UntilSafeAsync();
        File.Delete(Path.Combine(bench.DataDirectory, "ballast"));
        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] != "running");
        Assert.Equal("incomplete", (string?)run["state"]);
        // What was recorded is whole from the first point on, and the bench sweeps again once there is room.
        var samples = (int)run["samples"]!;
        Assert.InRange(samples, 1, 999);
        var curves = JsonNode.Parse(await bench.Http.GetStringAsync($"/api/runs/{runId}/curves", TestContext.Current.CancellationToken))!;
        Assert.Equal(samples, curves["curves"]![0]!["plate"]!.AsArray().TakeWhile(v => v is not null).Count());
        await bench.UntilBenchAsync("the cause to be gone", b => (bool?)b["trip"]?["causeGone"] == true);
        Assert.Equal(200, await bench.PostAsync("/api/bench/acknowledge"));
        await bench.UntilRunAsync(await bench.StartRunAsync(TestPlans.Short), r => (string?)r["state"] == "complete");
    }

    private static async Task FillAsync(string directory, int leaveKilobytes)
    {
        var free = new DriveInfo(directory).AvailableFreeSpace - leaveKilobytes * 1024L;
        await File.WriteAllBytesAsync(Path.Combine(directory, "ballast"), new byte[Math.Max(0, free)]);
    }
}
