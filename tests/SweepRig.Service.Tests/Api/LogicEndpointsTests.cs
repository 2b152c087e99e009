using System.Net;
using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Api;

/// <summary>Four swept tubes and one that is not, made once for all tests.</summary>
public sealed class SweptBench : IAsyncLifetime
{
    private static readonly double[] Perveances = [1, 1.15, 0.9, 1.02];

    public TestBench Bench { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        Bench = await TestBench.StartAsync();
        await Bench.SendAsync("POST", "/api/lots", """{"name": "Skua", "count": 5, "type": "6AU6"}""");
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

public sealed class LogicEndpointsTests(SweptBench swept) : IClassFixture<SweptBench>
{
    private readonly TestBench _bench = swept.Bench;

    [Fact]
    public async Task Gates_are_listed_with_their_places_and_the_loop_of_those_that_store()
    {
        var gates = (await _bench.GetAsync("/api/logic/gates"))["gates"]!.AsArray();
        var latch = gates.Single(g => (string?)g!["name"] == "latch")!;
        Assert.Equal(["V_q_2", "V_p_2"], latch["loop"]!.AsArray().Select(p => (string?)p));
        Assert.All(gates.Where(g => !(bool)g!["stores"]!), g => Assert.Empty(g!["loop"]!.AsArray()));
        var tubes = await _bench.GetAsync("/api/logic/tubes");
        Assert.Equal((5, 4), ((int)tubes["inStock"]!, (int)tubes["swept"]!));
    }

    [Fact]
    public async Task What_a_lot_can_be_counted_on_for_is_no_better_than_each_of_its_tubes()
    {
        var stage = await AnswerAsync("stage", """{"lot": "Skua"}""");
        Assert.Equal(4, stage["curves"]!.AsArray().Count);
        Assert.Equal(["SKUA-005"], stage["notSwept"]!.AsArray().Select(n => (string?)n));
        Assert.Contains(stage["remarks"]!.AsArray(), r => ((string)r!).Contains("sweeprig sweep gentle-pentode --tube SKUA-005", StringComparison.Ordinal));
        var together = (double)stage["margins"]!["square"]!;
        Assert.True(together > 0);
        Assert.All(stage["curves"]!.AsArray(), c => Assert.True((double)c!["margin"]! >= together - 1e-6));
        Assert.All(stage["curves"]!.AsArray(), c => Assert.True((double)c!["lowVolts"]! <= (double)stage["levels"]!["lowVolts"]! + 1e-6));
        // Ohm's law: what the input draws when high flows through the upper resistor of 100 kΩ, whose other end is below the input.
        var high = stage["high"]!;
        Assert.InRange((double)high["inputAmperes"]!, 0, ((double)high["inputVolts"]! + 14) / 100_000);
    }

    [Fact]
    public async Task A_search_within_a_tolerance_has_less_margin_than_without_and_says_what_binds()
    {
        const string Space = """ "series": "E12", "plate": {"lowest": 8200, "highest": 22000}, "upper": {"lowest": 82000, "highest": 120000}, "lower": {"lowest": 82000, "highest": 180000}""";
        var loose = await AnswerAsync("search", $$"""{"tubes": ["skua-001", "SKUA-003"], "tolerancePercent": 5, {{Space}}}""");
        var exact = await AnswerAsync("search", $$"""{"tubes": ["SKUA-001", "SKUA-003"], "tolerancePercent": 0, {{Space}}}""");
        Assert.True((double)loose["marginVolts"]! < (double)exact["marginVolts"]!);
        Assert.NotEmpty(exact["binding"]!.AsArray());
        Assert.Equal(2, (int)exact["tubes"]!);
    }

    [Fact]
    public async Task A_half_adder_is_right_and_its_netlist_is_whole()
    {
        var check = await AnswerAsync("check", """{"gate": "half-adder", "tubes": ["SKUA-001", null, "SKUA-002"]}""");
        Assert.True((bool)check["right"]!);
        var sums = check["rows"]!.AsArray().Select(r => (string.Concat(r!["inputs"]!.AsArray().Select(i => (bool)i! ? '1' : '0')), Signal(check, r, "sum"), Signal(check, r, "carry")));
        Assert.Equal([("00", false, false), ("01", true, false), ("10", true, false), ("11", false, true)], sums);
        Assert.Equal(["SKUA-001", null, "SKUA-002"], check["tubes"]!.AsArray().Take(3).Select(t => (string?)t!["number"]));

        var netlist = await _bench.SendAsync("POST", "/api/logic/netlist", """{"gate": "half-adder", "row": 3}""");
        var deck = await netlist.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.StartsWith("* half-adder\n", deck, StringComparison.Ordinal);
        Assert.EndsWith(".end\n", deck, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_yield_adds_up_and_the_best_pair_comes_first()
    {
        var yield = await AnswerAsync("yield", """{"gate": "latch", "trials": 200, "tolerances": {"resistorPercent": 2}}""");
        Assert.Equal(200, yield["distances"]!["counts"]!.AsArray().Sum(c => (int)c!));
        Assert.InRange((double)yield["share"]!, (double)yield["low"]!, (double)yield["high"]!);

        var pairs = await AnswerAsync("pairs", """{"lot": "Skua"}""");
        Assert.Equal(6, (int)pairs["lookedAt"]!);
        double[] margins = [.. pairs["pairs"]!.AsArray().Select(p => (double)p!["marginVolts"]!)];
        Assert.Equal(margins.OrderDescending(), margins);
    }

    [Fact]
    public async Task A_network_is_solved_as_the_command_solves_it()
    {
        const string Divider = """{"format": "network/1", "name": "divider", "sources": [{"name": "E", "plus": "a", "minus": "0", "volts": 12}], "resistors": [{"name": "R1", "from": "a", "to": "b", "ohms": 1000}, {"name": "R2", "from": "b", "to": "0", "ohms": 3000}]}""";
        var solved = await AnswerAsync("solve", Divider);
        Assert.Equal(9, (double)solved["states"]![0]!["nodes"]!.AsArray().Single(n => (string?)n!["node"] == "b")!["volts"]!, 9);
        await TestBench.ProblemAsync(await _bench.SendAsync("POST", "/api/logic/solve", """{"format": "network/1"}"""), HttpStatusCode.UnprocessableEntity);
        Assert.Equal(HttpStatusCode.NotFound, (await _bench.SendAsync("GET", "/api/logic/progress/none", null)).StatusCode);
    }

    [Theory]
    [InlineData("stage", """{"tubes": ["SKUA-005"]}""", "/tubes/0", "never-swept")]
    [InlineData("stage", """{"tubes": ["SKUA-001", "SKUA-001"]}""", "/tubes/1", "tube-twice")]
    [InlineData("stage", """{"lot": "Gull"}""", "/lot", "lot-unknown")]
    [InlineData("stage", """{"lot": "Skua", "tubes": ["SKUA-001"]}""", "/lot", "both-asked")]
    [InlineData("stage", """{"rails": {"plateVolts": 90}}""", "/rails/plateVolts", "out-of-range")]
    [InlineData("stage", """{"rails": {"plateVolts": 50, "biasVolts": -20}}""", "/rails/biasVolts", "rail-too-high")]
    [InlineData("stage", """{"values": {"connection": "hexode"}}""", "/values/connection", "connection-unknown")]
    [InlineData("stage", """{"values": {"plateOhms": 0}}""", "/values/plateOhms", "out-of-range")]
    [InlineData("stage", """{"fanOut": 9}""", "/fanOut", "out-of-range")]
    [InlineData("stage", """{"values": {"plateOhms": "10k"}}""", "/values/plateOhms", "wrong-kind")]
    [InlineData("search", """{"series": "E13"}""", "/series", "series-unknown")]
    [InlineData("search", """{"series": "E96"}""", "/series", "too-many-combinations")]
    [InlineData("search", """{"tolerancePercent": 25}""", "/tolerancePercent", "out-of-range")]
    [InlineData("search", """{"plate": {"lowest": 10100, "highest": 10900}, "series": "E12"}""", "/plate", "range-empty")]
    [InlineData("search", """{"limits": {"gridAmperes": 0}}""", "/limits/gridAmperes", "out-of-range")]
    [InlineData("search", """{"limits": {"plateWatts": 0.000001}, "series": "E12", "plate": {"lowest": 10000, "highest": 12000}, "upper": {"lowest": 100000, "highest": 120000}, "lower": {"lowest": 100000, "highest": 120000}}""", "/limits", "no-values-within-limits")]
    [InlineData("pairs", """{"tubes": ["SKUA-001"]}""", "/tubes", "too-few-tubes")]
    [InlineData("pairs", """{}""", "/tubes", "too-few-tubes")]
    [InlineData("check", """{"gate": "half-addr"}""", "/gate", "gate-unknown")]
    [InlineData("check", """{"gate": "inverter", "tubes": ["SKUA-001", "SKUA-002"]}""", "/tubes", "tubes-left-over")]
    [InlineData("check", """{"gate": "inverter", "values": {"plateOhms": 100}}""", "/values", "levels-not-restored")]
    [InlineData("yield", """{"gate": "inverter", "trials": 0}""", "/trials", "out-of-range")]
    [InlineData("yield", """{"gate": "inverter", "tolerances": {"railPercent": 80}}""", "/tolerances/railPercent", "out-of-range")]
    [InlineData("netlist", """{"gate": "inverter", "row": 2}""", "/row", "row-out-of-range")]
    public async Task What_cannot_be_answered_is_refused_with_its_place(string what, string body, string path, string code)
    {
        var problem = await TestBench.ProblemAsync(await _bench.SendAsync("POST", "/api/logic/" + what, body), HttpStatusCode.UnprocessableEntity);
        Assert.Contains(problem["refusals"]!.AsArray(), r => ((string?)r!["path"], (string?)r["code"]) == (path, code));
    }

    private static bool Signal(JsonNode check, JsonNode row, string name)
    {
        var at = check["signals"]!.AsArray().Select((s, n) => (Name: (string?)s, n)).Single(s => s.Name == name).n;
        var high = (double)row["volts"]![at]! > (double)check["thresholdVolts"]!;
        Assert.Equal((bool)row["wanted"]![at]!, high);
        return high;
    }

    private async Task<JsonNode> AnswerAsync(string what, string body)
    {
        var answer = await _bench.SendAsync("POST", "/api/logic/" + what, body);
        var text = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, text);
        return JsonNode.Parse(text)!;
    }
}
