using System.Net;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Contract;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Service.Tests.Hosting;

/// <summary>A whole bench on a PostgreSQL server of these tests alone, because it goes away.</summary>
[Collection(RealTime.Name)]
public sealed class SharedStoreBenchTests(PostgresServer server) : IClassFixture<PostgresServer>
{
    private const long BriefPoints = 250;

    private readonly PostgresServer _server = server;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>Takes two seconds, long enough for the server to go away in its midst.</summary>
    private static string Brief { get; } = PlanDocument.Write(PlanExamples.GentlePentode.Plan with { Name = "brief look", Points = (int)BriefPoints, DwellMicroseconds = 6_000 });

    /// <summary>Takes a minute, far longer than the test needs.</summary>
    private static string StartRequest { get; } =
        $"{{\"plan\":{PlanDocument.Write(PlanExamples.GentlePentode.Plan with { DwellMicroseconds = 500_000 })},\"tube\":{{\"label\":\"SKUA-014\",\"type\":\"6AU6\",\"lot\":\"Skua\"}}}}";

    [Fact]
    public async Task The_server_is_started_again_in_mid_night_and_the_night_goes_on_by_itself()
    {
        await using var bench = await TestBench.StartWholeAsync(await _server.NewDatabaseAsync());
        await Eventually.HoldsAsync("the rig to be connected", async () => (string?)(await bench.GetAsync("/api/bench"))["link"] == "connected");
        var now = TimeProvider.System.GetUtcNow();
        var document = $$$"""
            {"document":{"format":"night/1","name":"Skua","timeZone":"Etc/UTC","window":{"from":"{{{now.AddHours(-2):HH:mm}}}","to":"{{{now.AddHours(20):HH:mm}}}"},"mayBeCutShort":true,"limits":{"attempts":20,"acknowledgements":100},
             "sockets":[{"socket":0,"tube":"SKUA-014","type":"6AU6"}],"jobs":[{"name":"first","do":"sweep","plan":{{{Brief}}}},{"name":"second","do":"sweep","plan":{{{Brief}}}}]}}
            """;
        using var begun = await bench.SendAsync("POST", "/api/night", document);
        Assert.True(begun.IsSuccessStatusCode, await begun.Content.ReadAsStringAsync(Cancellation));
        await Eventually.HoldsAsync("samples", async () => (long?)(await bench.GetAsync("/api/bench"))["run"]?["pointsDone"] > 0);

        await _server.StopAsync();
        var store = bench.Services.GetRequiredService<RunStore>();
        await Eventually.HoldsAsync("a write waits", () => store.Waiting > 0);
        await Eventually.HoldsAsync("the sweep to have ended", async () => (await bench.GetAsync("/api/bench"))["run"] is null);
        await _server.StartAsync();

        JsonNode? night = null;
        await Eventually.HoldsAsync("the night to be over", async () => (string?)(night = (await bench.GetAsync("/api/night"))["night"])?["state"] == "over");
        // What had waited was judged when all of it had been brought, and not by the part that the server had.
        Assert.All(night!["latest"]!.AsArray(), s => Assert.Equal("passed", (string?)s!["state"]));
        foreach (var id in night["latest"]!.AsArray().Select(s => (string)s!["runs"]!.AsArray()[^1]!))
        {
            var run = await store.FindAsync(id, Cancellation);
            Assert.Equal((RunState.Complete, BriefPoints), (run!.State, run.Samples));
        }
    }

    [Fact]
    public async Task The_server_goes_away_in_mid_sweep_and_the_whole_sweep_is_there_when_it_is_back()
    {
        await using var bench = await TestBench.StartWholeAsync(await _server.NewDatabaseAsync());
        await using var viewer = await Viewer.ConnectAsync(bench);
        await viewer.UntilAsync<BenchView>(b => b.Link == "connected");
        using var answer = await bench.SendAsync("POST", "/api/runs", StartRequest);
        Assert.Equal(HttpStatusCode.Accepted, answer.StatusCode);
        var id = (string)JsonNode.Parse(await answer.Content.ReadAsStringAsync(Cancellation))!["id"]!;
        var live = (await viewer.UntilAsync<LiveBlockView>(_ => true)).OfType<LiveBlockView>().ToList();

        await _server.StopAsync();
        var store = bench.Services.GetRequiredService<RunStore>();
        await Eventually.HoldsAsync("a write waits", () => store.Waiting > 0);
        // The sweep goes on, and what is on disk here is shown.
        live.AddRange((await viewer.UntilAsync<LiveBlockView>(_ => true)).OfType<LiveBlockView>());
        using var asked = await bench.SendAsync("GET", $"/api/runs/{id}", null);
        var problem = await TestBench.ProblemAsync(asked, HttpStatusCode.ServiceUnavailable);
        Assert.Contains("the server does not answer", (string?)problem["detail"], StringComparison.Ordinal);
        Assert.Contains(store.WaitingIn!, (string?)problem["detail"], StringComparison.Ordinal);
        Assert.DoesNotContain(PostgresServer.Password, (string?)problem["detail"], StringComparison.Ordinal);

        using var stop = await bench.SendAsync("POST", "/api/bench/stop", null);
        Assert.Equal(HttpStatusCode.OK, stop.StatusCode);
        await viewer.UntilAsync<RunEndedView>(_ => true);
        await _server.StartAsync();
        await Eventually.HoldsAsync("what waited is delivered", () => store.Waiting == 0);
        var run = await store.FindAsync(id, Cancellation);
        Assert.Equal(RunState.Stopped, run!.State);
        var points = await store.ReadBlocksAsync(id, 0, Cancellation).SelectMany(b => b.Block.PointIndex).ToListAsync(Cancellation);
        Assert.Equal(Enumerable.Range(0, points.Count), points.Select(p => (int)p));
        Assert.Equal(run.Samples, points.Count);
        Assert.Subset(points.Select(p => (int)p).ToHashSet(), live.SelectMany(b => b.PointIndex).ToHashSet());
    }
}
