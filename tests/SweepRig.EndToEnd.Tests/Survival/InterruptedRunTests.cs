using System.Net.Http.Json;
using System.Text.Json.Nodes;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Storage.Tests.Disks;

namespace SweepRig.EndToEnd.Tests.Survival;

/// <summary>A run that does not come to its end because the card turns read-only.</summary>
public sealed class InterruptedRunTests : IDisposable
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(60);

    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-interrupted-").FullName;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    // errno 30, EROFS (asm-generic/errno-base.h): what Linux answers once it has mounted a failing card read-only (ext4(5), errors=remount-ro).
    [Fact]
    public async Task A_card_that_turns_read_only_trips_keeps_what_was_recorded_and_the_bench_goes_on_once_it_is_mended()
    {
        var trigger = Path.Combine(_directory, "read-only");
        await using var service = await SimulatedService.StartAsync(new Dictionary<string, string>
        {
            ["LD_PRELOAD"] = DiskWatch.Library, ["DISKWATCH_TRIGGER"] = trigger, ["DISKWATCH_ERROR"] = "30",
        });
        var id = await StartAsync(service, TestPlans.Long);
        await UntilAsync(service, "/api/bench", b => (long?)b["run"]?["pointsDone"] > 0);
        await File.WriteAllTextAsync(trigger, "", Cancellation);

        var state = await UntilAsync(service, "/api/bench", b => b["trip"] is not null);
        Assert.Equal("recording-failed", (string?)state["trip"]!["cause"]);
        Assert.Contains(Path.Combine(service.DataDirectory, "runs.db"), (string?)state["trip"]!["measured"], StringComparison.Ordinal);
        await UntilAsync(service, "/api/bench", b => !(bool)b["plateRailOn"]! && (double?)b["driveVolts"] < 0);
        // What was recorded can be read, and nothing new begins.
        Assert.InRange((int)(await UntilAsync(service, $"/api/runs/{id}", r => (string?)r["state"] != "running"))["samples"]!, 1, 999);

        File.Delete(trigger);
        await UntilAsync(service, "/api/bench", b => (bool?)b["trip"]?["causeGone"] == true);
        using var acknowledged = await service.Http.PostAsync(new Uri("/api/bench/acknowledge", UriKind.Relative), null, Cancellation);
        acknowledged.EnsureSuccessStatusCode();
        var next = await StartAsync(service, TestPlans.Short);
        await UntilAsync(service, $"/api/runs/{next}", r => (string?)r["state"] == "complete");
    }

    private static async Task<string> StartAsync(SimulatedService service, JsonNode plan)
    {
        using var answer = await service.Http.PostAsJsonAsync("/api/runs", new { plan, tube = new { label = "SKUA-014", type = "6AU6" } }, Cancellation);
        var body = JsonNode.Parse(await answer.Content.ReadAsStringAsync(Cancellation))!;
        return answer.IsSuccessStatusCode ? (string)body["id"]! : throw new InvalidOperationException(body.ToJsonString());
    }

    private static Task<JsonNode> UntilAsync(SimulatedService service, string path, Func<JsonNode, bool> condition) =>
        Waiting.ForAsync(path, Limit, async () => await service.Http.GetFromJsonAsync<JsonNode>(path, Cancellation) is { } found && condition(found) ? found : null);
}
