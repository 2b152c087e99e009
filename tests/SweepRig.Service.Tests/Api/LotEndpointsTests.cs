using System.Net;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Api;

/// <summary>A lot of seven over REST: three pairs that are alike, and one that nobody has swept. Made once for all tests.</summary>
public sealed class LotBench : IAsyncLifetime
{
    private static readonly double[] Perveances = [1, 1.3, 1.01, 1.31, 0.8, 0.81];

    public TestBench Bench { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        Bench = await TestBench.StartAsync();
        await Bench.SendAsync("POST", "/api/lots", """{"name": "Skua/1, old", "prefix": "SKUA", "count": 7, "type": "6AU6"}""");
        for (var i = 0; i < Perveances.Length; i++)
        {
            await new ModelledRun(PlanExamples.GentlePentode)
            {
                Label = new($"SKUA-00{i + 1}", "6AU6"), Tube = ExampleTubes.Sound6AU6 with { Perveance = ExampleTubes.Sound6AU6.Perveance * Perveances[i] }, Seed = i, StartedUtc = Examples.Started.AddDays(i),
            }.StoreAsync(Bench.Services.GetRequiredService<RunStore>());
        }
    }

    public async ValueTask DisposeAsync() => await Bench.DisposeAsync();
}

public sealed class LotEndpointsTests(LotBench lot) : IClassFixture<LotBench>
{
    private const string Lot = "/api/lots/Skua%2F1,%20old";

    private readonly TestBench _bench = lot.Bench;

    [Fact]
    public async Task Figures_and_summary_are_of_the_quantities_asked_for()
    {
        var figures = await _bench.GetAsync($"{Lot}/figures?quantity=pentode.vol,pentode.voh&quantity=triode.vol");
        Assert.Equal(["pentode.vol", "pentode.voh", "triode.vol"], figures["quantities"]!.AsArray().Select(q => (string?)q!["word"]));
        Assert.Equal(7, figures["tubes"]!.AsArray().Count);
        Assert.Equal("not measured", (string?)figures["tubes"]![0]!["figures"]![2]!["absentBecause"]);
        Assert.True((double)figures["tubes"]![0]!["figures"]![1]!["value"]! > 20);

        var summary = (await _bench.GetAsync($"{Lot}/summary?quantity=pentode.vol"))["quantities"]![0]!;
        Assert.Equal((6, "SKUA-007"), ((int)summary["measured"]!, (string?)summary["notMeasured"]!.AsArray().Single()));
        Assert.Equal(6, summary["histogram"]!["counts"]!.AsArray().Sum(c => (int)c!));
        var voltage = figures["tubes"]!.AsArray().Select(t => (double?)t!["figures"]![0]!["value"]).OfType<double>().Order().ToArray();
        Assert.Equal((voltage[2] + voltage[3]) / 2, (double)summary["spread"]!["median"]!, 9);
    }

    [Fact]
    public async Task Grades_are_looked_at_before_they_are_given()
    {
        const string Grades = """{"format": "grades/1", "grades": [{"name": "first", "limits": [{"quantity": "pentode.voh", "unit": "V", "lowest": 20}]}]}""";
        var preview = await AnswerAsync("POST", $"{Lot}/grades/preview", Grades);
        Assert.False((bool)preview["applied"]!);
        Assert.Equal((6, 6.0), ((int)preview["yields"]![0]!["sure"]!, Math.Round((double)preview["yields"]![0]!["expected"]!, 6)));
        Assert.Equal((6, 1), ((int)preview["limits"]![0]!["accepted"]!, (int)preview["limits"]![0]!["notMeasured"]!));
        Assert.True((double)preview["limits"]![0]!["guardBand"]! > 0);
        Assert.Equal("new", (string?)(await _bench.GetAsync("/api/tubes/SKUA-001"))["tube"]!["state"]);

        Assert.True((bool)(await AnswerAsync("POST", $"{Lot}/grades", Grades))["applied"]!);
        await AnswerAsync("POST", $"{Lot}/grades", Grades);
        var history = (await _bench.GetAsync("/api/tubes/SKUA-001"))["tube"]!["history"]!.AsArray();
        Assert.Single(history, h => (string?)h!["kind"] == "graded");
    }

    [Fact]
    public async Task Pairs_groups_spares_and_drift_are_answered()
    {
        var pairs = await _bench.GetAsync($"{Lot}/pairs?by=pentode.vol,pentode.switching-drive=0.1");
        Assert.Equal(["SKUA-001 SKUA-003", "SKUA-002 SKUA-004", "SKUA-005 SKUA-006"], pairs["pairs"]!.AsArray().Select(p => $"{p!["first"]} {p["second"]}").Order());
        Assert.Equal(1, pairs["pairs"]![0]!["by"]!.AsArray().Sum(d => (double)d!["part"]!), 9);
        Assert.Contains("mostly pentode.", (string?)pairs["pairs"]![0]!["says"], StringComparison.Ordinal);
        var curves = await _bench.GetAsync($"{Lot}/pairs?curve=pentode=0.1&worst=true");
        Assert.True((bool)curves["worstProven"]!);
        Assert.Equal(3, curves["pairs"]!.AsArray().Count);
        Assert.Contains("outputs differ most at a drive of", (string?)curves["pairs"]![0]!["says"], StringComparison.Ordinal);

        var groups = await _bench.GetAsync($"{Lot}/groups?size=3&by=pentode.vol=0.1");
        Assert.Equal((2, true), (groups["groups"]!.AsArray().Count, (bool)groups["provenBest"]!));
        Assert.Equal("SKUA-005", (string?)(await _bench.GetAsync("/api/tubes/skua-006/spares"))["spares"]![0]!["tube"]);
        Assert.Single((await _bench.GetAsync("/api/tubes/skua-006/drift"))["points"]!.AsArray());
        Assert.Contains((await _bench.GetAsync("/api/quantities"))["quantities"]!.AsArray(), q => (string?)q!["word"] == "health.noise");
    }

    [Theory]
    [InlineData("GET", "/api/lots/Gull/summary", null, HttpStatusCode.NotFound, "not-found")]
    [InlineData("GET", "/api/tubes/GULL-001/drift", null, HttpStatusCode.NotFound, "not-found")]
    [InlineData("GET", "/api/tubes/GULL-001/spares", null, HttpStatusCode.NotFound, "not-found")]
    [InlineData("GET", Lot + "/figures?quantity=pentode.vool", null, HttpStatusCode.UnprocessableEntity, "quantity-unknown")]
    [InlineData("GET", Lot + "/pairs?by=pentode.vol=0", null, HttpStatusCode.UnprocessableEntity, "bad-quantity")]
    [InlineData("GET", Lot + "/pairs?by=triode.vol", null, HttpStatusCode.UnprocessableEntity, "too-few-tubes")]
    [InlineData("GET", Lot + "/pairs?by=pentode.vol&curve=pentode", null, HttpStatusCode.UnprocessableEntity, "both-asked")]
    [InlineData("GET", Lot + "/pairs?curve=tetrode", null, HttpStatusCode.UnprocessableEntity, "bad-quantity")]
    [InlineData("GET", Lot + "/groups?size=2", null, HttpStatusCode.UnprocessableEntity, "size-out-of-range")]
    [InlineData("GET", "/api/tubes/SKUA-001/drift?weight=0&quantity=x", null, HttpStatusCode.UnprocessableEntity, "weight-out-of-range")]
    [InlineData("POST", Lot + "/grades/preview", """{"format": "grades/1", "grades": []}""", HttpStatusCode.UnprocessableEntity, "bad-list")]
    [InlineData("POST", Lot + "/grades", """{"format": "grades/1", "grades": [{"name": "a", "limits": [{"quantity": "pentode.vol", "unit": "A", "highest": 1}]}]}""", HttpStatusCode.UnprocessableEntity, "")]
    public async Task What_cannot_be_answered_is_refused(string method, string path, string? body, HttpStatusCode status, string code)
    {
        var problem = await TestBench.ProblemAsync(await _bench.SendAsync(method, path, body), status);
        Assert.Contains(problem["refusals"]!.AsArray(), r => ((string)r!["code"]!).Contains(code, StringComparison.Ordinal));
    }

    private async Task<JsonNode> AnswerAsync(string method, string path, string body)
    {
        var answer = await _bench.SendAsync(method, path, body);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        return JsonNode.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!;
    }
}
