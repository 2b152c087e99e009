using System.Net;
using System.Text.Json.Nodes;
using SweepRig.Domain.Interlocks;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Vitals;

public sealed class ReadinessTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_bench_with_its_rig_passes_and_one_without_fails_with_the_reason()
    {
        await using var bench = await TestBench.StartAsync();
        bench.Runner.State = bench.Runner.State with { Link = RigLinkState.Connected };
        var (status, ready) = await ReadyAsync(bench);
        Assert.True(status == HttpStatusCode.OK, ready.ToJsonString());
        Assert.Contains((string?)ready["status"], new[] { "pass", "warn" });
        Assert.DoesNotContain(ready["reasons"]!.AsArray(), r => (bool)r!["blocks"]!);

        bench.Runner.State = bench.Runner.State with { Link = RigLinkState.Lost, LinkFault = "The cable is out." };
        (status, ready) = await ReadyAsync(bench);
        Assert.Equal((HttpStatusCode.ServiceUnavailable, "fail", 0), (status, (string?)ready["status"], (int)ready["rigsConnected"]!));
        var reason = ready["reasons"]!.AsArray().Single(r => (string?)r!["code"] == "rig-away")!;
        Assert.Equal("The cable is out.", (string?)reason["message"]);
    }

    [Fact]
    public async Task A_trip_is_told_and_blocks_nothing_of_the_service()
    {
        await using var bench = await TestBench.StartAsync();
        bench.Runner.State = bench.Runner.State with { Link = RigLinkState.Connected, Trip = new Trip(TripCause.GridCurrent, true, "grid current 2.1 mA", "limit 2 mA", DateTimeOffset.UnixEpoch, null) };
        var (status, ready) = await ReadyAsync(bench);
        Assert.Equal((HttpStatusCode.OK, "warn"), (status, (string?)ready["status"]));
        Assert.Contains(ready["reasons"]!.AsArray(), r => (string?)r!["code"] == "tripped");
    }

    [Fact]
    public async Task Of_a_whole_bench_owner_runner_and_recording_answer()
    {
        await using var bench = await TestBench.StartWholeAsync();
        await Eventually.HoldsAsync("the rig to be connected", async () => (await ReadyAsync(bench)).Status == HttpStatusCode.OK);
        var (_, ready) = await ReadyAsync(bench);
        Assert.DoesNotContain(ready["reasons"]!.AsArray(), r => (string?)r!["code"] == "not-alive");
    }

    private static async Task<(HttpStatusCode Status, JsonNode Ready)> ReadyAsync(TestBench bench)
    {
        using var answer = await bench.Http.GetAsync(new Uri("/health/ready", UriKind.Relative), Cancellation);
        Assert.Equal("application/health+json", answer.Content.Headers.ContentType!.MediaType);
        return (answer.StatusCode, JsonNode.Parse(await answer.Content.ReadAsStringAsync(Cancellation))!);
    }
}
