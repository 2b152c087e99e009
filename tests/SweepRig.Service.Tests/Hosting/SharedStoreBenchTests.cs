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
public sealed class SharedStoreBenchTests : IAsyncLifetime
{
    private readonly PostgresServer _server = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    /// <summary>Takes a minute, far longer than the test needs.</summary>
    private static string StartRequest { get; } =
        $"{{\"plan\":{PlanDocument.Write(PlanExamples.GentlePentode.Plan with { DwellMicroseconds = 500_000 })},\"tube\":{{\"label\":\"SKUA-014\",\"type\":\"6AU6\",\"lot\":\"Skua\"}}}}";

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public ValueTask DisposeAsync() => _server.DisposeAsync();

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
