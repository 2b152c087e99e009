using System.Net.Http.Json;
using System.Text.Json.Nodes;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Storage.Tests.Disks;

namespace SweepRig.EndToEnd.Tests.Survival;

/// <summary>A night in whose middle the service is exchanged, or the disk fails: it goes on by itself.</summary>
public sealed class InterruptedNightTests : IDisposable
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(60);

    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-interrupted-").FullName;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    [Fact]
    public async Task A_service_that_is_exchanged_in_mid_step_ends_it_safely_on_record_and_the_next_one_begins_it_anew()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        var night = await TestNights.BeginAsync(bench.Http, TestNights.Of(TestPlans.Brief, sweeps: 2));
        var cut = (string)(await bench.UntilBenchAsync("samples", b => (long?)b["run"]?["pointsDone"] > 0))["run"]!["runId"]!;

        Signals.Terminate(bench.Service.Id);
        Assert.Equal(0, await bench.Service.ExitAsync(Limit));
        await bench.Rig!.UntilSafeAsync();

        await bench.StartServiceAsync();
        var run = await bench.UntilRunAsync(cut, r => (string?)r["state"] != "running");
        Assert.Equal("incomplete", (string?)run["state"]);
        Assert.InRange((int)run["samples"]!, 1, TestPlans.BriefPoints - 1);
        var over = await TestNights.UntilAsync(bench.Http, "over", n => (string?)n["state"] == "over");
        Assert.Equal((night, 1), ((string?)over["id"], (int)over["takenUp"]!));
        AssertPassed(over);
        // By whole runs; the one that was cut short counts for nothing.
        foreach (var whole in over["latest"]!.AsArray().Select(s => (string)s!["runs"]!.AsArray()[^1]!))
            Assert.Equal(("complete", TestPlans.BriefPoints), ((string?)(run = await bench.UntilRunAsync(whole, _ => true))["state"], (int)run["samples"]!));
    }

    // EROFS and ENOSPC (asm-generic/errno-base.h): what Linux answers once it has mounted a failing card read-only (ext4(5), errors=remount-ro), and on a disk that is full.
    [Theory]
    [InlineData(30)]
    [InlineData(28)]
    public async Task A_disk_that_takes_nothing_holds_the_night_with_its_reason_until_it_is_mended(int error)
    {
        var trigger = Path.Combine(_directory, "takes-nothing");
        await using var service = await SimulatedService.StartAsync(new Dictionary<string, string>
        {
            ["LD_PRELOAD"] = DiskWatch.Library, ["DISKWATCH_TRIGGER"] = trigger, ["DISKWATCH_ERROR"] = $"{error}",
        });
        await TestNights.BeginAsync(service.Http, TestNights.Of(TestPlans.Brief, sweeps: 2));
        var cut = (string)(await BenchAsync(service, "samples", b => (long?)b["run"]?["pointsDone"] > 0))["run"]!["runId"]!;
        await File.WriteAllTextAsync(trigger, "", Cancellation);

        var held = await TestNights.UntilAsync(service.Http, "held", n => (string?)n["state"] == "held");
        Assert.False((bool)held["needsPerson"]!);
        Assert.Contains(Path.Combine(service.DataDirectory, "runs.db"), (string?)held["held"], StringComparison.Ordinal);
        await BenchAsync(service, "the rig to be safe", b => !(bool)b["plateRailOn"]! && (double?)b["driveVolts"] < 0);

        File.Delete(trigger);
        var over = await TestNights.UntilAsync(service.Http, "over", n => (string?)n["state"] == "over");
        AssertPassed(over);
        Assert.True((int)over["use"]!["acknowledgements"]! >= 1);
        // What was recorded before is kept.
        var run = (await service.Http.GetFromJsonAsync<JsonNode>($"/api/runs/{cut}", Cancellation))!;
        Assert.NotEqual("running", (string?)run["state"]);
        Assert.InRange((int)run["samples"]!, 1, TestPlans.BriefPoints - 1);
    }

    /// <summary>Both steps, the first of them not at the first attempt. A machine that stalls may cost either another one.</summary>
    private static void AssertPassed(JsonNode night)
    {
        var steps = night["latest"]!.AsArray().OrderBy(s => (int)s!["step"]!).ToArray();
        Assert.Equal(["passed", "passed"], steps.Select(s => (string?)s!["state"]));
        Assert.True((int)steps[0]!["attempts"]! >= 2, steps[0]!.ToJsonString());
    }

    private static Task<JsonNode> BenchAsync(SimulatedService service, string what, Func<JsonNode, bool> condition) =>
        Waiting.ForAsync(what, Limit, async () => await service.Http.GetFromJsonAsync<JsonNode>("/api/bench", Cancellation) is { } found && condition(found) ? found : null);
}
