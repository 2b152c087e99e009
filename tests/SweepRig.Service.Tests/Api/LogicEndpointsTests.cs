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

    [Theory]
    [InlineData("nor-at-grid", "low")]
    [InlineData("nand-at-grid", "high")]
    public async Task A_gate_at_one_grid_has_values_of_its_own_and_stages_of_its_own(string word, string rests)
    {
        var gates = (await _bench.GetAsync("/api/logic/gates"))["gates"]!.AsArray();
        double Lower(string name) => (double)gates.Single(g => (string?)g!["name"] == name)!["values"]!["lowerOhms"]!;
        Assert.True(Lower(word) < Lower("nor"));
        var check = await AnswerAsync("check", $$"""{"gate": "{{word}}", "tubes": ["SKUA-001"]}""");
        Assert.True((bool)check["right"]!);
        var stage = await AnswerAsync("stage", $$"""{"gate": "{{word}}", "tubes": ["SKUA-001"]}""");
        Assert.True((bool)stage["levels"]!["restores"]!);
        Assert.Equal((double)check["highVolts"]!, (double)stage["levels"]!["highVolts"]!, 0.01);
        Assert.Contains(stage["remarks"]!.AsArray(), r => ((string)r!).Contains($"the other rests {rests}", StringComparison.Ordinal));
        // A search among values that hold those finds none that are worse.
        var found = await AnswerAsync("search", $$$"""{"gate": "{{{word}}}", "tubes": ["SKUA-001"], "series": "E12", "tolerancePercent": 0, "plate": {"lowest": 8200, "highest": 12000}, "upper": {"lowest": 82000, "highest": 120000}, "lower": {"lowest": {{{Lower(word) / 1.5}}}, "highest": {{{Lower(word) * 1.5}}}}}""");
        Assert.True((double)found["marginVolts"]! >= (double)stage["margins"]!["square"]! - 1e-2);
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
    public async Task A_tube_is_replaced_by_a_spare_and_the_gate_then_has_the_margin_that_was_said()
    {
        const string Placed = """ "gate": "nor", "tubes": ["SKUA-001", "SKUA-002"] """;
        var spares = await AnswerAsync("spares", $$"""{{{Placed}}, "lot": "Skua"}""");
        Assert.Equal(2, (int)spares["lookedAt"]!);
        Assert.Equal(["SKUA-005"], spares["notSwept"]!.AsArray().Select(n => (string?)n));
        Assert.Equal((double)(await AnswerAsync("check", $$"""{{{Placed}}}"""))["marginVolts"]!, (double)spares["marginVolts"]!, 1e-9);
        var place = spares["places"]!.AsArray()[1]!;
        Assert.Equal("V_y_2", (string?)place["position"]);
        Assert.All(place["tubes"]!.AsArray(), t => Assert.Contains((string?)t!["number"], (string[])["SKUA-003", "SKUA-004"]));
        var best = place["tubes"]![0]!;
        var check = await AnswerAsync("check", $$"""{"gate": "nor", "tubes": ["SKUA-001", "{{(string?)best["number"]}}"]}""");
        Assert.Equal((double)check["marginVolts"]!, (double)best["marginVolts"]!, 1e-9);
        // The whole stock where neither a lot nor numbers are given.
        Assert.Equal(2, (int)(await AnswerAsync("spares", $$"""{{{Placed}}}"""))["lookedAt"]!);
        Assert.Equal(1, (int)(await AnswerAsync("spares", $$"""{{{Placed}}, "from": ["SKUA-001", "SKUA-004"]}"""))["lookedAt"]!);
    }

    [Fact]
    public async Task Timing_tells_every_path_and_draws_the_slowest()
    {
        var timing = await AnswerAsync("timing", """{"gate": "buffer", "tubes": ["SKUA-001"]}""");
        var delays = timing["delays"]!.AsArray();
        Assert.Equal(2, delays.Count);
        var slowest = delays.MaxBy(d => (double)d!["seconds"]!)!;
        var wave = Assert.Single(timing["waves"]!.AsArray())!;
        Assert.Equal((double)slowest["seconds"]!, (double)wave["path"]!["seconds"]!);
        var length = wave["seconds"]!.AsArray().Count;
        Assert.Equal(["a", "y"], wave["signals"]!.AsArray().Select(s => (string?)s!["name"]));
        Assert.All(wave["signals"]!.AsArray(), s => Assert.Equal(length, s!["volts"]!.AsArray().Count));
        Assert.Contains(timing["remarks"]!.AsArray(), r => ((string)r!).Contains("example", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_map_has_the_margin_of_the_check_where_the_gate_is_meant_to_work()
    {
        var map = await AnswerAsync("map", """{"gate": "inverter", "tubes": ["SKUA-001"], "steps": 4, "limitVolts": 0.5}""");
        Assert.Equal((double)(await AnswerAsync("check", """{"gate": "inverter", "tubes": ["SKUA-001"]}"""))["marginVolts"]!, (double)map["atMarginVolts"]!, 2e-3);
        Assert.Equal((4, 4), (map["marginVolts"]!.AsArray().Count, map["marginVolts"]![0]!.AsArray().Count));
        Assert.Equal(28, (double)map["at"]!["otherVolts"]!);
        Assert.InRange((double)map["room"]!["otherDown"]!, 1, 28);
        Assert.NotEmpty(map["says"]!.AsArray());
        var bias = await AnswerAsync("map", """{"gate": "inverter", "against": "bias", "steps": 3}""");
        // No two rails further apart than extra-low voltage allows, without being asked for.
        Assert.True((double)bias["plateVolts"]!.AsArray()[^1]! - (double)bias["otherVolts"]![0]! <= 60);
    }

    [Fact]
    public async Task A_build_is_told_its_voltages_and_a_reading_that_does_not_fit_is_explained()
    {
        var voltages = await AnswerAsync("test-voltages", """{"gate": "inverter", "tubes": ["SKUA-001"]}""");
        var rows = voltages["rows"]!.AsArray();
        Assert.Equal(["a=0", "a=1"], rows.Select(r => (string?)r!["name"]));
        var readings = rows.SelectMany(r => r!["nodes"]!.AsArray().Select(n => (Row: (string)r["name"]!, Node: (string)n!["node"]!, Volts: (double)n["volts"]!))).ToList();
        Assert.True((bool)(await JudgeAsync(readings))["sound"]!);
        // The plate stays up whatever the input is: the tube draws nothing.
        var up = readings.First(r => r.Node == "y" && r.Row == "a=0").Volts;
        var dead = await JudgeAsync([.. readings.Where(r => r.Node == "y").Select(r => r with { Volts = up })]);
        Assert.False((bool)dead["sound"]!);
        Assert.Contains(dead["explanations"]!.AsArray(), e => (string?)e!["part"] == "V_y_1");

        Task<JsonNode> JudgeAsync(IReadOnlyList<(string Row, string Node, double Volts)> given) => AnswerAsync("build-check",
            FormattableString.Invariant($$"""{"gate": "inverter", "tubes": ["SKUA-001"], "readings": [{{string.Join(',', given.Select(r => FormattableString.Invariant($$"""{"node": "{{r.Node}}", "row": "{{r.Row}}", "volts": {{r.Volts:0.000}}}""")))}}]}"""));
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
    [InlineData("spares", """{"gate": "inverter", "spares": 0}""", "/spares", "out-of-range")]
    [InlineData("spares", """{"gate": "inverter", "lot": "Gull"}""", "/lot", "lot-unknown")]
    [InlineData("spares", """{"gate": "inverter", "lot": "Skua", "from": ["SKUA-001"]}""", "/lot", "both-asked")]
    [InlineData("spares", """{"gate": "inverter", "from": ["SKUA-005"]}""", "/from/0", "never-swept")]
    [InlineData("timing", """{"gate": "inverter", "values": {"plateOhms": 100}}""", "/values", "levels-not-restored")]
    [InlineData("map", """{"gate": "inverter", "against": "heater"}""", "/against", "supply-unknown")]
    [InlineData("map", """{"gate": "inverter", "against": "bias", "rails": {"biasVolts": 0}}""", "/against", "no-bias")]
    [InlineData("map", """{"gate": "inverter", "values": {"connection": "triode"}}""", "/against", "no-screens")]
    [InlineData("map", """{"gate": "inverter", "plateSpan": {"from": 30, "to": 20}}""", "/plateSpan", "span-not-rising")]
    [InlineData("map", """{"gate": "inverter", "plateSpan": {"from": 20, "to": 55}}""", "/plateSpan", "rail-too-high")]
    [InlineData("map", """{"gate": "inverter", "otherSpan": {"from": 0, "to": 20}}""", "/otherSpan/from", "out-of-range")]
    [InlineData("map", """{"gate": "inverter", "steps": 2}""", "/steps", "out-of-range")]
    [InlineData("map", """{"gate": "inverter", "limitVolts": 0.001}""", "/limitVolts", "out-of-range")]
    [InlineData("test-voltages", """{"gate": "inverter", "meterOhms": 5}""", "/meterOhms", "meter-out-of-range")]
    [InlineData("build-check", """{"gate": "inverter"}""", "/readings", "no-readings")]
    [InlineData("build-check", """{"gate": "inverter", "readings": [{"node": "z", "row": "a=0", "volts": 1}]}""", "/readings/0/node", "node-unknown")]
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
