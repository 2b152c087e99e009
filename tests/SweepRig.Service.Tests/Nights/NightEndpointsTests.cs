using System.Net;
using System.Net.Http.Json;
using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Service.Contract;
using SweepRig.Service.Nights;
using SweepRig.Service.Tests.Rounds;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Tests.Nights;

/// <summary>A night through REST, on the simulated rig.</summary>
[Collection(RealTime.Name)]
public sealed class NightEndpointsTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private static JsonNode Quick => JsonNode.Parse(PlanDocument.Write(ServedRound.QuickPlan))!;

    [Fact]
    public async Task A_night_is_planned_begun_followed_and_on_record()
    {
        await using var bench = await TestBench.StartWholeAsync();
        await using var viewer = await Viewer.ConnectAsync(bench);
        await ConnectedAsync(bench);
        Assert.Null((await bench.GetAsync("/api/night"))["night"]);
        var document = Night(new JsonArray(Job("first"), Job("second", "after", new JsonArray("first"))));

        var plan = await AnswerAsync(await bench.Http.PostAsJsonAsync("/api/nights/plan", new { document }, Cancellation));
        Assert.Equal(["first", "first", "second", "second"], plan["steps"]!.AsArray().Select(s => (string)s!["job"]!));
        Assert.Equal(0.6, (double)plan["load"]!["heaterAmps"]!, 9);
        Assert.Empty(plan["notReached"]!.AsArray());

        var begun = await AnswerAsync(await bench.Http.PostAsJsonAsync("/api/night", new { document }, Cancellation));
        Assert.Contains((string?)begun["state"], new[] { "working", "waiting" });
        var night = begun;
        await Eventually.HoldsAsync("the night to be over", async () => (string?)(night = (await bench.GetAsync("/api/night"))["night"]!)["state"] == "over");
        Assert.All(night["jobs"]!.AsArray(), j => Assert.Equal((2, 2), ((int)j!["steps"]!, (int)j["passed"]!)));
        await viewer.UntilAsync<NightChangedView>(n => n.Version >= (long)night["version"]!);

        var id = (string)night["id"]!;
        var steps = (await bench.GetAsync($"/api/nights/{id}/steps?from=1&limit=2"))!;
        Assert.Equal((4, 1, 2), ((int)steps["total"]!, (int)steps["from"]!, steps["steps"]!.AsArray().Count));
        var step = steps["steps"]![0]!;
        Assert.Equal(("first", "SKUA-020", "passed"), ((string?)step["job"], (string?)step["tube"], (string?)step["state"]));
        Assert.Equal("SKUA-020", (string?)(await bench.GetAsync($"/api/runs/{(string)step["runs"]![0]!}"))["tube"]!["label"]);
        Assert.NotNull(step["predictedEndUtc"]);
        var head = Assert.Single((await bench.GetAsync("/api/nights")).AsArray())!;
        Assert.Equal((id, "all steps are done with"), ((string?)head["id"], (string?)head["endedBecause"]));
        await Eventually.HoldsAsync("the heaters to be off", async () => !(bool)(await bench.GetAsync("/api/bench"))["heater"]!["on"]!);
    }

    [Fact]
    public async Task Every_fault_of_a_night_comes_with_its_place_in_the_request()
    {
        await using var bench = await TestBench.StartWholeAsync();
        await ConnectedAsync(bench);
        var document = Night(new JsonArray(Job("first", "sockets", new JsonArray(5)), Job("second", "priority", 12)));
        var problem = await TestBench.ProblemAsync(await bench.Http.PostAsJsonAsync("/api/night", new { document }, Cancellation), HttpStatusCode.UnprocessableEntity);
        Assert.Equal(["/document/jobs/0/sockets", "/document/jobs/1/priority"], problem["refusals"]!.AsArray().Select(r => (string)r!["path"]!).Order());
        // What only the rig can tell.
        document = Night(new JsonArray(Job("first")));
        document["sockets"]![1]!["socket"] = 7;
        problem = await TestBench.ProblemAsync(await bench.Http.PostAsJsonAsync("/api/nights/plan", new { document }, Cancellation), HttpStatusCode.UnprocessableEntity);
        Assert.Equal("socket-absent", (string?)Assert.Single(problem["refusals"]!.AsArray())!["code"]);
        // What only the stock and its quantities can tell.
        document = Night(new JsonArray(Job("first", "limits", new JsonArray(new JsonObject { ["quantity"] = "pentode.volt", ["highest"] = 3 }))));
        document["sockets"]!.AsArray().Add(new JsonObject { ["socket"] = 2, ["tube"] = "SKUA-099" });
        problem = await TestBench.ProblemAsync(await bench.Http.PostAsJsonAsync("/api/nights/plan", new { document }, Cancellation), HttpStatusCode.UnprocessableEntity);
        Assert.Equal(["/document/jobs/0/limits/0/quantity", "/document/sockets/2/type"], problem["refusals"]!.AsArray().Select(r => (string)r!["path"]!).Order());
        await TestBench.ProblemAsync(await bench.Http.GetAsync("/api/night?rig=other", Cancellation), HttpStatusCode.UnprocessableEntity);
        await TestBench.ProblemAsync(await bench.Http.GetAsync("/api/nights/none", Cancellation), HttpStatusCode.NotFound);
        await TestBench.ProblemAsync(await bench.Http.PostAsJsonAsync("/api/night/go-on", new { }, Cancellation), HttpStatusCode.Conflict);
    }

    [Fact]
    public async Task Studies_are_steps_with_runs_and_findings()
    {
        await using var bench = await TestBench.StartWholeAsync();
        await ConnectedAsync(bench);
        var warmUp = Job("warm", "sockets", new JsonArray(0));
        (warmUp["do"], warmUp["times"]) = ("warm-up", 1);
        var repeat = Job("repeats", "sockets", new JsonArray(0));
        (repeat["do"], repeat["times"], repeat["everyMinutes"]) = ("repeat", 2, 0.1);
        await AnswerAsync(await bench.Http.PostAsJsonAsync("/api/night", new { document = Night(new JsonArray(warmUp, repeat)) }, Cancellation));
        JsonNode? night = null;
        await Eventually.HoldsAsync("the night to be over", async () => (string?)(night = (await bench.GetAsync("/api/night"))["night"])?["state"] == "over");
        var steps = night!["latest"]!.AsArray().OrderBy(s => (int)s!["step"]!).ToArray();
        Assert.Equal(["passed", "passed"], steps.Select(s => (string)s!["state"]!));
        Assert.Equal([1, 2], steps.Select(s => s!["runs"]!.AsArray().Count));
        Assert.Contains("switched on from cold 1 times", (string?)steps[0]!["verdict"], StringComparison.Ordinal);
    }

    [Fact]
    public async Task Schema_and_examples_are_served_and_each_example_can_be_planned()
    {
        await using var bench = await TestBench.StartWholeAsync();
        await ConnectedAsync(bench);
        Assert.True(JsonNode.DeepEquals(JsonNode.Parse(NightDocument.Schema), await bench.GetAsync("/api/nights/schema")));
        var examples = (await bench.GetAsync("/api/nights/examples")).AsArray();
        Assert.Equal(NightExamples.All.Select(e => e.Name), examples.Select(e => (string)e!["name"]!));
        foreach (var example in examples)
        {
            var document = example!["document"]!.DeepClone();
            document["timeZone"] = ZoneAtNoon();
            await AnswerAsync(await bench.Http.PostAsJsonAsync("/api/nights/plan", new { document }, Cancellation));
        }
    }

    // Planned in the middle of the night, what is left of it may be too short. Etc/GMT-3 is three hours before UTC (IANA time zone database, file etcetera).
    private static string ZoneAtNoon() => $"Etc/GMT{TimeProvider.System.GetUtcNow().Hour - 12:+0;-0;+0}";

    [Fact]
    public async Task A_service_that_is_ended_leaves_the_night_to_the_next_one()
    {
        await using var bench = await TestBench.StartWholeAsync();
        await ConnectedAsync(bench);
        // Four seconds of sweep, long enough to be cut short.
        var job = Job("sweeps", "sockets", new JsonArray(0));
        job["plan"]!["drive"]!["points"] = 1_100;
        var document = Night(new JsonArray(job));
        var begun = await AnswerAsync(await bench.Http.PostAsJsonAsync("/api/night", new { document }, Cancellation));
        await Eventually.HoldsAsync("a step to be under way", async () => (string?)(await bench.GetAsync("/api/night"))["night"]!["state"] == "working");
        await bench.StopAsync();

        await using var next = await TestBench.StartWholeAsync(bench);
        JsonNode? night = null;
        await Eventually.HoldsAsync("the night to be over", async () => (string?)(night = (await next.GetAsync("/api/night"))["night"])?["state"] == "over");
        Assert.Equal(((string?)begun["id"], 1), ((string?)night!["id"], (int)night["takenUp"]!));
        Assert.All(night["latest"]!.AsArray(), s => Assert.Equal("passed", (string?)s!["state"]));
        var first = night["latest"]!.AsArray().Single(s => (int)s!["step"]! == 0)!;
        Assert.Equal(2, (int)first["attempts"]!);
    }

    private static JsonObject Night(JsonArray jobs) => new()
    {
        ["format"] = NightDocument.Format, ["name"] = "Skua", ["timeZone"] = "Etc/UTC", ["window"] = AllDay(), ["jobs"] = jobs,
        ["sockets"] = new JsonArray(new JsonObject { ["socket"] = 0, ["tube"] = "SKUA-014", ["type"] = "6AU6" }, new JsonObject { ["socket"] = 1, ["tube"] = "SKUA-020", ["type"] = "6AU6" }),
    };

    /// <summary>Open now and for most of a day, whenever the test is run.</summary>
    private static JsonObject AllDay()
    {
        var now = TimeProvider.System.GetUtcNow();
        return new() { ["from"] = now.AddHours(-2).ToString("HH:mm", System.Globalization.CultureInfo.InvariantCulture), ["to"] = now.AddHours(20).ToString("HH:mm", System.Globalization.CultureInfo.InvariantCulture) };
    }

    private static JsonObject Job(string name, string? key = null, JsonNode? value = null)
    {
        var job = new JsonObject { ["name"] = name, ["do"] = "sweep", ["plan"] = Quick };
        if (key is not null) job[key] = value;
        return job;
    }

    private static Task ConnectedAsync(TestBench bench) => Eventually.HoldsAsync("the rig to be connected", async () => (string?)(await bench.GetAsync("/api/bench"))["link"] == "connected");

    private static async Task<JsonNode> AnswerAsync(HttpResponseMessage answer)
    {
        var text = await answer.Content.ReadAsStringAsync(Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, text);
        return JsonNode.Parse(text)!;
    }
}
