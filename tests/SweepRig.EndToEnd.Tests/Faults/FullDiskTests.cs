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
        await bench.Rig!.UntilSafeAsync();
        File.Delete(Path.Combine(bench.DataDirectory, "ballast"));
        var run = await bench.UntilRunAsync(runId, _ => true);
        Assert.True((int)run["samples"]! > 0);
    }

    private static async Task FillAsync(string directory, int leaveKilobytes)
    {
        var free = new DriveInfo(directory).AvailableFreeSpace - leaveKilobytes * 1024L;
        await File.WriteAllBytesAsync(Path.Combine(directory, "ballast"), new byte[Math.Max(0, free)]);
    }
}
