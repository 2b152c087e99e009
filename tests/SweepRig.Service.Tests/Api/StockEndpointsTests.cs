using System.Net;
using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

/// <summary>The stock over REST.</summary>
public sealed class StockEndpointsTests
{
    [Fact]
    public async Task Tubes_are_booked_in_found_changed_and_shown_with_all_that_happened()
    {
        await using var bench = await TestBench.StartAsync();
        await BookAsync(bench, """{"name": "Skua", "count": 3, "type": "6AU6", "origin": "coast radio station", "price": "40 EUR", "place": "drawer 3"}""", "SKUA-001 SKUA-002 SKUA-003");
        await BookAsync(bench, """{"name": "Petrel, mixed box", "count": 2, "prefix": "petrel"}""", "PETREL-001 PETREL-002");
        await BookAsync(bench, """{"name": "Skua", "count": 1}""", "SKUA-004");

        var lots = (await bench.GetAsync("/api/lots"))["lots"]!.AsArray();
        Assert.Equal(["Skua 4", "Petrel, mixed box 2"], lots.Select(l => $"{l!["name"]} {l["tubes"]}"));
        Assert.Equal("40 EUR", (string?)lots[0]!["price"]);

        Assert.Equal("in use", await ChangeAsync(bench, "skua-002", "use", "tide clock, bit 2"));
        Assert.Equal("retired", await ChangeAsync(bench, "SKUA-003", "retire", "getter is white"));
        Assert.Equal("new", await ChangeAsync(bench, "PETREL-001", "identify", " ef91 "));

        Assert.Equal("SKUA-001 SKUA-002 SKUA-003 SKUA-004 PETREL-001 PETREL-002", await FoundAsync(bench, ""));
        Assert.Equal("SKUA-002", await FoundAsync(bench, "?state=in%20use"));
        Assert.Equal("SKUA-002", await FoundAsync(bench, "?place=BIT"));
        Assert.Equal("SKUA-003", await FoundAsync(bench, "?find=getter"));
        Assert.Equal("PETREL-002", await FoundAsync(bench, "?type=none"));
        Assert.Equal("SKUA-004", await FoundAsync(bench, "?lot=skua&state=new&find=004"));
        Assert.Equal("", await FoundAsync(bench, "?grade=first"));

        await bench.RecordAsync(Examples.Header("1") with { Tube = new("SKUA-002", "6AU6", "Skua") });
        var shown = await bench.GetAsync("/api/tubes/skua-002");
        Assert.Equal("tide clock, bit 2", (string?)shown["tube"]!["inUseAt"]);
        Assert.Equal(["booked in", "identified as", "moved to", "put to use"], shown["tube"]!["history"]!.AsArray().Select(h => (string?)h!["kind"]));
        Assert.Equal("1", (string?)shown["runs"]!.AsArray().Single()!["id"]);
        Assert.True((bool)shown["typeIsKnown"]!);
        // EF91 is another name of a type that the catalogue has.
        Assert.True((bool)(await bench.GetAsync("/api/tubes/PETREL-001"))["typeIsKnown"]!);
    }

    [Fact]
    public async Task Pages_hang_together_when_a_tube_changes_between_them()
    {
        await using var bench = await TestBench.StartAsync();
        await BookAsync(bench, """{"name": "Skua", "count": 5}""", "SKUA-001 SKUA-002 SKUA-003 SKUA-004 SKUA-005");
        var first = await bench.GetAsync("/api/tubes?state=new&limit=2");
        Assert.Equal((5, 5, "SKUA-002"), ((int)first["found"]!, (int)first["inStock"]!, (string?)first["after"]));
        await ChangeAsync(bench, "SKUA-002", "retire", "broken");
        var second = await bench.GetAsync("/api/tubes?state=new&limit=2&after=SKUA-002");
        Assert.Equal(["SKUA-003", "SKUA-004"], second["tubes"]!.AsArray().Select(t => (string?)t!["label"]));
        var third = await bench.GetAsync($"/api/tubes?state=new&limit=2&after={second["after"]}");
        Assert.Equal("SKUA-005", (string?)third["tubes"]!.AsArray().Single()!["label"]);
        Assert.Null(third["after"]);
    }

    [Theory]
    [InlineData("POST", "/api/lots", """{"name": "", "count": 0}""", "bad-lot bad-prefix bad-count")]
    [InlineData("POST", "/api/lots", """{"name": "Skua", "count": 3, "prefix": "PETREL"}""", "lot-has-another-prefix")]
    [InlineData("POST", "/api/lots", """{"name": "Skua", "count": 3, "type": "6J6"}""", "lot-of-another-type")]
    [InlineData("POST", "/api/lots", """{"name": "Tern", "count": 3, "prefix": "SKUA"}""", "prefix-taken")]
    [InlineData("POST", "/api/lots", """{"name": "Tern", "count": 10000}""", "bad-count")]
    [InlineData("POST", "/api/lots", """{"name": "Tern", "count": 3, "type": "a type that is far too long"}""", "bad-text")]
    [InlineData("POST", "/api/lots", """{"name": "Tern", "count": 3, "place": "two\nlines"}""", "bad-text")]
    [InlineData("POST", "/api/lots", """{"name": "Tern", "tubes": 3}""", "unknown-key")]
    [InlineData("POST", "/api/tubes/SKUA-001/changes", """{"change": "sell", "text": "at the fair"}""", "change-not-understood")]
    [InlineData("POST", "/api/tubes/SKUA-001/changes", """{"change": "note", "text": "  "}""", "bad-text")]
    [InlineData("POST", "/api/tubes/SKUA-001/changes", """{"change": "free", "text": "trial"}""", "tube-not-in-use")]
    [InlineData("GET", "/api/tubes?state=sold&limit=0", null, "limit-out-of-range state-not-understood")]
    [InlineData("GET", "/api/tubes?after=TERN-001", null, "after-unknown")]
    public async Task Bad_input_is_refused_with_every_reason_and_changes_nothing(string method, string path, string? body, string codes)
    {
        await using var bench = await TestBench.StartAsync();
        await BookAsync(bench, """{"name": "Skua", "count": 1, "type": "6AU6"}""", "SKUA-001");
        using var answer = await bench.SendAsync(method, path, body);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.Equal(codes.Split(' '), problem["refusals"]!.AsArray().Select(r => (string?)r!["code"]));
        Assert.All(problem["refusals"]!.AsArray(), r => Assert.NotEqual("", (string?)r!["remedy"]));
        Assert.Equal("SKUA-001", await FoundAsync(bench, ""));
        Assert.Equal(2, (await bench.GetAsync("/api/tubes/SKUA-001"))["tube"]!["history"]!.AsArray().Count);
    }

    [Theory]
    [InlineData("GET", "/api/tubes/SKUA-099", null)]
    [InlineData("POST", "/api/tubes/SKUA-099/changes", """{"change": "note", "text": "pin 3 straightened"}""")]
    public async Task A_number_that_the_stock_has_not_is_not_found(string method, string path, string? body)
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.SendAsync(method, path, body);
        await TestBench.ProblemAsync(answer, HttpStatusCode.NotFound);
    }

    private static async Task BookAsync(TestBench bench, string body, string labels)
    {
        using var answer = await bench.SendAsync("POST", "/api/lots", body);
        Assert.Equal(HttpStatusCode.Created, answer.StatusCode);
        var booked = JsonNode.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!;
        Assert.Equal(labels.Split(' '), booked["labels"]!.AsArray().Select(l => (string?)l));
    }

    /// <returns>The state after it.</returns>
    private static async Task<string?> ChangeAsync(TestBench bench, string label, string change, string text)
    {
        using var answer = await bench.SendAsync("POST", $"/api/tubes/{label}/changes", new JsonObject { ["change"] = change, ["text"] = text }.ToJsonString());
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        return (string?)JsonNode.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!["tube"]!["state"];
    }

    private static async Task<string> FoundAsync(TestBench bench, string query)
    {
        var found = await bench.GetAsync("/api/tubes" + query);
        var tubes = found["tubes"]!.AsArray();
        Assert.Equal(tubes.Count, (int)found["found"]!);
        return string.Join(' ', tubes.Select(t => (string?)t!["label"]));
    }
}
