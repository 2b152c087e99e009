using System.Net;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Watching;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Watching;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Api;

public sealed class EventEndpointsTests
{
    private static readonly DateTimeOffset Night = new(2026, 11, 26, 3, 0, 0, TimeSpan.Zero);

    [Fact]
    public async Task A_trip_of_the_rig_is_an_event_until_somebody_has_seen_it()
    {
        await using var bench = await TestBench.StartAsync();
        bench.Runner.Feed.Publish(new LiveUpdate.State(bench.Runner.State with { Trip = new Trip(TripCause.CathodeCurrent, true, "31 mA", "25 mA", Night, null) }));
        JsonNode list = null!;
        await Eventually.HoldsAsync("the trip is kept", async () => (int)(list = await bench.GetAsync("/api/events?least=alarm"))["unseen"]! == 1);
        var trip = Assert.Single(list["events"]!.AsArray())!;
        Assert.Equal("alarm trip rig-1 2026-11-26T03:00:00.000Z", $"{trip["severity"]} {trip["kind"]} {trip["rig"]} {trip["utc"]}");
        Assert.False((bool)trip["seen"]!);
        var answer = await bench.SendAsync("POST", "/api/events/seen", $$"""{"upTo":{{trip["number"]}}}""");
        Assert.Equal(0, (int)JsonNode.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!["unseen"]!);
        Assert.True((bool)(await bench.GetAsync("/api/events?least=alarm"))["events"]![0]!["seen"]!);
    }

    [Fact]
    public async Task A_program_asks_for_what_is_new_since_and_pages_back()
    {
        await using var bench = await TestBench.StartAsync();
        var watch = bench.Services.GetRequiredService<IWatch>();
        for (var i = 1; i <= 5; i++) watch.Post(BenchEvent.Of(Night.AddMinutes(i), "north", EventSeverity.Warning, EventKind.RigGone, $"Event {i}."));
        await Eventually.HoldsAsync("all are kept", async () => (await bench.GetAsync("/api/events?rig=north"))["events"]!.AsArray().Count == 5);
        var page = await bench.GetAsync("/api/events?rig=north&limit=2");
        Assert.Equal(["Event 5.", "Event 4."], Texts(page));
        Assert.Equal(["Event 3.", "Event 2."], Texts(await bench.GetAsync($"/api/events?rig=north&limit=2&olderThan={page["olderThan"]}")));
        Assert.Equal(["Event 5."], Texts(await bench.GetAsync($"/api/events?rig=north&since={page["events"]![1]!["number"]}")));
        Assert.Empty(Texts(await bench.GetAsync($"/api/events?since={page["newest"]}")));
        Assert.Empty(Texts(await bench.GetAsync("/api/events?rig=north&least=alarm")));
    }

    [Fact]
    public async Task Each_rig_of_a_service_is_watched_under_its_own_name()
    {
        await using var bench = await TestBench.StartWholeAsync(null, "north", "south");
        await bench.SendAsync("POST", "/api/bench/safe?rig=north", """{"reason":"smell of hot resistor"}""");
        JsonNode list = null!;
        await Eventually.HoldsAsync("the trip is kept", async () => (list = await bench.GetAsync("/api/events?kind=trip"))["events"]!.AsArray().Count == 1);
        Assert.Equal("warning north", $"{list["events"]![0]!["severity"]} {list["events"]![0]!["rig"]}");
    }

    [Theory]
    [InlineData("least=grave", "severity-not-understood")]
    [InlineData("kind=tea", "kind-not-understood")]
    [InlineData("since=-1", "since-out-of-range")]
    [InlineData("limit=0", "limit-out-of-range")]
    public async Task A_question_that_cannot_be_answered_is_refused_with_what_can(string query, string code)
    {
        await using var bench = await TestBench.StartAsync();
        var problem = await TestBench.ProblemAsync(await bench.SendAsync("GET", $"/api/events?{query}", null), HttpStatusCode.UnprocessableEntity);
        Assert.Equal(code, (string?)Assert.Single(problem["refusals"]!.AsArray())!["code"]);
    }

    [Fact]
    public async Task Nothing_can_be_seen_before_the_first()
    {
        await using var bench = await TestBench.StartAsync();
        await TestBench.ProblemAsync(await bench.SendAsync("POST", "/api/events/seen", """{"upTo":0}"""), HttpStatusCode.UnprocessableEntity);
    }

    private static IEnumerable<string> Texts(JsonNode list) => list["events"]!.AsArray().Select(e => (string)e!["text"]!);
}
