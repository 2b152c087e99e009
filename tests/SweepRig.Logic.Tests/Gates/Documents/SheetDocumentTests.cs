using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Gates.Documents;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;
using SweepRig.Logic.Tests.Support;

namespace SweepRig.Logic.Tests.Gates.Documents;

public sealed class SheetDocumentTests
{
    public static TheoryData<string> Kinds => new(CircuitKinds.All.Select(k => k.Word));

    [Theory]
    [MemberData(nameof(Kinds))]
    public void The_example_of_every_kind_is_read_and_becomes_a_network(string kind)
    {
        var sheet = SheetExamples.All.Single(s => s.Name == kind);
        var text = SheetWriter.Write(sheet);
        var read = Parse(text);
        Assert.Equal(text, SheetWriter.Write(read));
        using var document = JsonDocument.Parse(text);
        Assert.True(JsonSchema.FromText(SheetDocument.Schema).Evaluate(document.RootElement).IsValid);
        var wired = SheetExpansion.Wire(read, EmptyShelf.Instance, _ => Part());
        Assert.True(wired.IsAccepted, string.Join("; ", wired.Refusals));
        var again = NetworkDocument.Parse(NetworkWriter.Write(wired.Value), EmptyShelf.Instance);
        Assert.True(again.IsAccepted, string.Join("; ", again.Refusals));
        Assert.Equal(wired.Value.Parts.Count, again.Value.Parts.Count);
    }

    [Fact]
    public void The_schema_knows_every_kind_and_no_other()
    {
        var kinds = JsonNode.Parse(SheetDocument.Schema)!["properties"]!["gates"]!["items"]!["properties"]!["kind"]!["enum"]!.AsArray().Select(k => k!.GetValue<string>());
        Assert.Equal(CircuitKinds.All.Select(k => k.Word).Order(StringComparer.Ordinal), kinds.Order(StringComparer.Ordinal));
    }

    [Fact]
    public void A_full_adder_of_two_half_adders_adds()
    {
        var sheet = Parse("""
            {"format":"gates/1","name":"adder","rails":{"plateVolts":28,"biasVolts":-14,"heaterVolts":6.3},"inputs":["a","b","c"],"outputs":["sum","carry"],
             "gates":[{"kind":"half-adder","inputs":["a","b"],"outputs":["x","k1"]},{"kind":"half-adder","inputs":["x","c"],"outputs":["sum","k2"]},
                      {"kind":"nor","inputs":["k1","k2"],"outputs":["none"]},{"kind":"inverter","inputs":["none"],"outputs":["carry"]}]}
            """);
        var network = SheetExpansion.Network(sheet).Value!;
        foreach (var inputs in GateTable.InputPatterns(network))
        {
            var state = GateTable.States(network, inputs).Single();
            Assert.Equal(inputs.Count(i => i), (state["carry"] ? 2 : 0) + (state["sum"] ? 1 : 0));
        }
    }

    [Fact]
    public void Values_of_a_gate_go_before_those_of_the_sheet_and_loads_hang_on()
    {
        var sheet = Parse(Sheet("""{"kind":"inverter","inputs":["a"],"outputs":["y"],"values":{"plateOhms":15000}}""", """, "values":{"plateOhms":12000,"upperOhms":91000},"loads":[{"signal":"y","ohms":47000,"to":"bias","picofarads":33}]"""));
        var wired = SheetExpansion.Wire(sheet, EmptyShelf.Instance, _ => Part()).Value!;
        Assert.Equal(15_000, wired.Parts.OfType<Resistor>().Single(r => r.Name == "Rp_y").Ohms);
        Assert.Equal(91_000, wired.Parts.OfType<Resistor>().Single(r => r.Name == "Ra_y_1").Ohms);
        Assert.Equal(new Resistor("Rl_1", "y", GateWiring.BiasRail, 47_000), wired.Parts.Single(p => p.Name == "Rl_1"));
        Assert.Equal(33e-12, Assert.IsType<Capacitor>(wired.Parts.Single(p => p.Name == "Cl_1")).Farads, 1e-24);
        Assert.Equal(StageValues.UsualTriode, Parse(Sheet("""{"kind":"inverter","inputs":["a"],"outputs":["y"]}""", """, "values":{"connection":"triode"}""")).Values!.Stage);
    }

    [Fact]
    public void Open_values_are_refused_until_they_are_chosen()
    {
        var sheet = Parse(Sheet("""{"kind":"inverter","inputs":["a"],"outputs":["x"]},{"kind":"inverter","inputs":["x"],"outputs":["y"],"choose":true}"""));
        var refusal = Assert.Single(SheetExpansion.Wire(sheet, EmptyShelf.Instance, _ => Part()).Refusals);
        Assert.Equal(("values-open", "/gates/1"), (refusal.Code, refusal.Path));
        var chosen = SheetChooser.Choose(sheet, [Part()], CellValues.Usual, PreferredSeries.E12, new(), TestContext.Current.CancellationToken).Value!;
        Assert.Equal(chosen.Search.Best.Plate, chosen.Sheet.Entries[1].Values!.Stage.PlateOhms);
        Assert.Null(chosen.Sheet.Entries[0].Values);
        Assert.Equal(SheetWriter.Write(chosen.Sheet), SheetWriter.Write(Parse(SheetWriter.Write(chosen.Sheet))));
        Assert.True(SheetExpansion.Wire(chosen.Sheet, EmptyShelf.Instance, _ => Part()).IsAccepted);
        // Better than what nobody searched for.
        var usual = SheetChooserMargin(CellValues.Usual.Stage);
        Assert.True(chosen.Search.MarginVolts > usual, $"{chosen.Search.MarginVolts} V against {usual} V");
    }

    [Fact]
    public void Places_without_a_tube_and_numbers_without_a_stock_are_told_with_their_place()
    {
        var sheet = Parse(Sheet("""{"kind":"nor","inputs":["a","a"],"outputs":["y"],"tubes":["skua-014","any"]}"""));
        var refusals = SheetExpansion.Wire(sheet, EmptyShelf.Instance, _ => null).Refusals;
        Assert.Equal(["no-stock", "tube-open"], refusals.Select(r => r.Code).Order(StringComparer.Ordinal));
        Assert.All(refusals, r => Assert.StartsWith("/gates/0/tubes", r.Path, StringComparison.Ordinal));
        Assert.Contains("SKUA-014", refusals.Single(r => r.Code == "no-stock").Asked, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("""{"kind":"xor","inputs":["a"],"outputs":["y"]}""", "unknown-kind", "/gates/0/kind", "\"xor\"")]
    [InlineData("""{"kind":"invertor","inputs":["a"],"outputs":["y"]}""", "unknown-kind", "/gates/0/kind", "Did you mean \"inverter\"")]
    [InlineData("""{"kind":"inverter","inputs":["a","a"],"outputs":["y"]}""", "signals-count", "/gates/0", "inverter has 2 inputs")]
    [InlineData("""{"kind":"latch","inputs":["a","a"],"outputs":["y"]}""", "signals-count", "/gates/0", "latch has 1 outputs")]
    [InlineData("""{"kind":"register","inputs":["a","a"],"outputs":["y","z"]}""", "signals-count", "/gates/0", "3 are needed")]
    [InlineData("""{"kind":"inverter","inputs":["b"],"outputs":["y"]}""", "signal-undriven", "/gates/0/inputs", "nothing drives the signal b")]
    [InlineData("""{"kind":"inverter","inputs":["a"],"outputs":["z"]}""", "signal-undriven", "/outputs/0", "nothing drives the signal y")]
    [InlineData("""{"kind":"inverter","inputs":["a"],"outputs":["y"]},{"kind":"inverter","inputs":["a"],"outputs":["Y"]}""", "bad-signal", "/gates/1/outputs", "\"Y\"")]
    [InlineData("""{"kind":"inverter","inputs":["a"],"outputs":["y"]},{"kind":"inverter","inputs":["y"],"outputs":["a"]}""", "signal-twice", "/gates/1/outputs", "the signal a is made 2 times")]
    [InlineData("""{"kind":"latch","inputs":["a","a"],"outputs":["y","z"]},{"kind":"buffer","inputs":["a"],"outputs":["x"]},{"kind":"inverter","inputs":["a"],"outputs":["x_i"]}""", "signal-twice", "", "x_i")]
    [InlineData("""{"kind":"inverter","inputs":["a"],"outputs":["plate_rail"]}""", "bad-signal", "/gates/0/outputs", "plate_rail")]
    [InlineData("""{"kind":"inverter","inputs":["a"],"outputs":["y"],"tubes":["SKUA-014","SKUA-015"]}""", "tubes-left-over", "/gates/0/tubes", "2 tubes are named")]
    [InlineData("""{"kind":"nor","inputs":["a","a"],"outputs":["y"],"tubes":["SKUA-014","skua-014"]}""", "tube-twice", "/gates/0/tubes", "V_y_1 and V_y_2")]
    [InlineData("""{"kind":"nor","inputs":["a","y"],"outputs":["y"]}""", "loop-no-latch", "", "the loop through y")]
    [InlineData("""{"kind":"nor","inputs":["a","z"],"outputs":["y"]},{"kind":"buffer","inputs":["y"],"outputs":["z"]}""", "loop-no-latch", "", "a low")]
    [InlineData("""{"kind":"follower","inputs":["z"],"outputs":["y"]},{"kind":"follower","inputs":["y"],"outputs":["z"]}""", "loop-without-gain", "", "y, z")]
    [InlineData("""{"kind":"inverter","inputs":["a"],"outputs":["y"],"values":{"plateOhms":10}}""", "out-of-range", "/gates/0/values/plateOhms", "10 Ω")]
    [InlineData("""{"kind":"inverter","inputs":["a"],"outputs":["y"],"values":{},"choose":true}""", "two-shapes", "/gates/0/choose", "values and choose")]
    [InlineData("""{"kind":"inverter","input":["a"],"outputs":["y"]}""", "unknown-key", "/gates/0/input", "inputs")]
    public void A_fault_is_told_with_its_place(string gates, string code, string path, string says)
    {
        var refusals = SheetDocument.Parse(Sheet(gates)).Refusals;
        Assert.Contains(refusals, r => r.Code == code && r.Path == path && r.ToString().Contains(says, StringComparison.Ordinal));
    }

    [Fact]
    public void Loops_that_store_are_good()
    {
        // A pair of inverters with a follower between, and the counter of two toggles.
        Assert.True(SheetDocument.Parse(Sheet("""{"kind":"nor","inputs":["a","f"],"outputs":["y"]},{"kind":"inverter","inputs":["y"],"outputs":["x"]},{"kind":"follower","inputs":["x"],"outputs":["f"]}""")).IsAccepted);
        Assert.True(SheetDocument.Parse(Sheet("""{"kind":"toggle","inputs":["a"],"outputs":["x","xp"]},{"kind":"toggle","inputs":["x"],"outputs":["y","yp"]}""")).IsAccepted);
    }

    [Theory]
    [InlineData(40, -21, "61 V apart")]
    [InlineData(60, -60, "120 V apart")]
    public void Rails_beyond_extra_low_voltage_are_refused(double plate, double bias, string says)
    {
        var text = Sheet("""{"kind":"inverter","inputs":["a"],"outputs":["y"]}""").Replace("\"plateVolts\":28,\"biasVolts\":-14", FormattableString.Invariant($"\"plateVolts\":{plate},\"biasVolts\":{bias}"), StringComparison.Ordinal);
        var refusal = Assert.Single(SheetDocument.Parse(text).Refusals);
        Assert.Equal("rail-too-high", refusal.Code);
        Assert.Contains(says, refusal.Asked, StringComparison.Ordinal);
        Assert.Contains("60 V", refusal.Allowed, StringComparison.Ordinal);
    }

    private static double SheetChooserMargin(StageValues values) =>
        ValueSearch.Run(new(SheetExamples.Rails, values, [Part()], 1, [values.PlateOhms], [values.UpperOhms], [values.LowerOhms], new())).Value!.MarginVolts;

    private static string Sheet(string gates, string more = "") =>
        $$"""{"format":"gates/1","name":"n","rails":{"plateVolts":28,"biasVolts":-14,"heaterVolts":6.3},"inputs":["a"],"outputs":["y"],"gates":[{{gates}}]{{more}}}""";

    private static GateSheet Parse(string text)
    {
        var outcome = SheetDocument.Parse(text);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }

    private static TubePart Part() => new("V", "p", "s", "g", "0", Samples.Tube());
}
