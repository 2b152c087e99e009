using System.Text.Json;
using Json.Schema;
using SweepRig.Domain;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Tests.Support;

namespace SweepRig.Logic.Tests.Networks;

public sealed class NetworkDocumentTests
{
    [Fact]
    public void A_network_written_and_read_again_is_the_same()
    {
        var network = new Network("everything",
        [
            Samples.Rail(), Samples.Bias(), new Source("in", "in", "0", Waveform.Through([(0, 0), (1e-6, 20), (5e-6, 20)], 1e-5)),
            .. Samples.Inverter("1", "in", "out").Where(p => p is Resistor), .. Samples.Inverter("2", "out", "end").Where(p => p is Resistor),
            new Capacitor("Cs", "in", "m1", 47e-12), new Diode("D1", "g1", "0"),
            .. Samples.Inverter("1", "in", "out").Where(p => p is TubePart), .. Samples.Inverter("2", "out", "end").Where(p => p is TubePart),
        ]);
        var text = NetworkWriter.Write(network);
        var read = Parse(text);
        Assert.Equal(text, NetworkWriter.Write(read));
        Assert.Equal(network.Parts.Where(p => p is not TubePart), read.Parts.Where(p => p is not TubePart));
        Assert.Equal(network.Tubes.Select(t => t.Model.Parameters), read.Tubes.Select(t => t.Model.Parameters));
        using var document = JsonDocument.Parse(text);
        var verdict = JsonSchema.FromText(NetworkDocument.Schema).Evaluate(document.RootElement, new() { OutputFormat = OutputFormat.List });
        Assert.True(verdict.IsValid, string.Join("; ", (verdict.Details ?? []).Where(d => !d.IsValid).SelectMany(d => (d.Errors ?? new Dictionary<string, string>()).Values.Select(e => $"{d.InstanceLocation}: {e}"))));
    }

    [Theory]
    [InlineData("""{"name":"R1","from":"B","to":"x","ohms":1000}""", "floating-node", "")]
    [InlineData("""{"name":"R1","from":"B","to":"B","ohms":1000}""", "shorted-part", "/resistors/1")]
    [InlineData("""{"name":"R0","from":"B","to":"0","ohms":1000}""", "name-twice", "")]
    [InlineData("""{"name":"R1","from":"B","to":"0","ohms":0}""", "out-of-range", "/resistors/1/ohms")]
    [InlineData("""{"name":"R1","from":"b","to":"0","ohms":10}""", "nodes-alike", "")]
    [InlineData("""{"name":"R 1","from":"B","to":"0","ohms":10}""", "bad-name", "")]
    [InlineData("""{"name":"R1","from":"B","to":"0","ohm":10}""", "unknown-key", "/resistors/1/ohm")]
    public void A_fault_of_a_resistor_is_told_with_its_place(string resistor, string code, string path)
    {
        // A lone end at x hangs on the rail and is no fault; cut from it, it is.
        var text = $$"""{"format":"network/1","name":"n","sources":[{"name":"E","plus":"B","volts":28}],"resistors":[{"name":"R0","from":"B","to":"0","ohms":5},{{resistor.Replace("\"B\",\"to\":\"x\"", "\"y\",\"to\":\"x\"", StringComparison.Ordinal)}}]}""";
        Assert.Contains(Refusals(text), r => r.Code == code && r.Path == path);
    }

    [Theory]
    [InlineData("""{"name":"E2","plus":"B","volts":27}""", "source-loop")]
    [InlineData("""{"name":"E2","plus":"T","minus":"B","volts":33}""", "rail-too-high")]
    [InlineData("""{"name":"E2","plus":"T","volts":-33}""", "rail-too-high")]
    [InlineData("""{"name":"E2","plus":"T","volts":61}""", "out-of-range")]
    public void Sources_that_contradict_or_endanger_are_refused(string source, string code)
    {
        var text = $$"""{"format":"network/1","name":"n","sources":[{"name":"E","plus":"B","volts":28},{{source}}],"resistors":[{"name":"R0","from":"B","to":"0","ohms":5}]}""";
        Assert.Contains(Refusals(text), r => r.Code == code);
    }

    [Fact]
    public void A_tube_of_the_stock_is_plugged_in_once()
    {
        var first = Samples.Inverter("1", "in", "out").OfType<TubePart>().Single() with { Number = "SKUA-014" };
        var network = Samples.Bistable();
        var twice = network.With(network.Tubes.First() with { Number = "SKUA-014" }).With(network.Tubes.Last() with { Number = "skua-014" });
        Assert.Equal("tube-twice", Assert.Single(NetworkChecks.Find(twice)).Code);
        Assert.NotNull(first.Number);
    }

    [Fact]
    public void A_number_without_a_stock_says_what_to_do()
    {
        var text = """{"format":"network/1","name":"n","sources":[{"name":"E","plus":"B","volts":28}],"resistors":[{"name":"Rp","from":"B","to":"p","ohms":10000},{"name":"Rg","from":"g","to":"0","ohms":10000}],"tubes":[{"name":"V1","connection":"triode","plate":"p","grid":"g","number":"SKUA-014"}]}""";
        var refusal = Assert.Single(Refusals(text));
        Assert.Equal("no-stock", refusal.Code);
        Assert.Equal("/tubes/0/number", refusal.Path);
    }

    private static Network Parse(string text)
    {
        var outcome = NetworkDocument.Parse(text, EmptyShelf.Instance);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }

    private static IReadOnlyList<Refusal> Refusals(string text) => NetworkDocument.Parse(text, EmptyShelf.Instance).Refusals;
}
