using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Tubes.Tests.Catalogue;

/// <summary>The document of a type against its reader, and against its schema by an independent validator (JsonSchema.Net), draft 2020-12.</summary>
public sealed class TypeDocumentTests
{
    private const string Good = """
        {
          "format": "tube-type/1",
          "type": "TIDE-1",
          "kind": "triode",
          "heaters": [{"volts": 6.3, "amperes": 0.3}],
          "base": {"name": "B7G", "pins": ["p", "nc", "h", "h", "nc", "g1", "k"], "confidence": "from-memory"},
          "ratings": [{"limit": "cathode-milliamperes", "value": 15, "system": "design-centre", "confidence": "from-memory"}],
          "typicalPoints": [{"plateVolts": 100, "gridVolts": -1, "plateMilliamperes": 4, "milliampsPerVolt": 4, "mu": 60, "plateKilohms": 15, "confidence": "from-memory"}],
          "sources": ["Invented for this test."]
        }
        """;

    private static readonly JsonSchema Schema = JsonSchema.FromText(TypeDocument.Schema);

    private static readonly Dictionary<string, (string From, string To, string Code, string Path)> Bad = new()
    {
        ["not json"] = ("\"sources\"", "sources", "malformed-json", ""),
        ["another format"] = ("tube-type/1", "tube-type/9", "unknown-word", "/format"),
        ["no name"] = ("\"TIDE-1\"", "\" \"", "out-of-range", "/type"),
        ["unknown kind"] = ("\"triode\"", "\"triod\"", "unknown-word", "/kind"),
        ["no heater"] = ("[{\"volts\": 6.3, \"amperes\": 0.3}]", "[]", "bad-list", "/heaters"),
        ["heater of mains"] = ("\"volts\": 6.3", "\"volts\": 230", "out-of-range", "/heaters/0/volts"),
        ["unknown key"] = ("\"heaters\"", "\"heater\": 1, \"heaters\"", "unknown-key", "/heater"),
        ["pins as text"] = ("[\"p\", \"nc\", \"h\", \"h\", \"nc\", \"g1\", \"k\"]", "\"p nc\"", "wrong-type", "/base/pins"),
        ["pin that is a number"] = ("\"g1\"", "1", "bad-list", "/base/pins"),
        ["limit below nothing"] = ("\"value\": 15", "\"value\": -15", "out-of-range", "/ratings/0/value"),
        ["limit of nobody"] = ("\"cathode-milliamperes\"", "\"cathode-amps\"", "unknown-word", "/ratings/0/limit"),
        ["two biases"] = ("\"gridVolts\": -1", "\"gridVolts\": -1, \"cathodeOhms\": 68", "both-biases", "/typicalPoints/0/gridVolts"),
        ["no bias"] = ("\"gridVolts\": -1, ", "", "both-biases", "/typicalPoints/0/gridVolts"),
        ["no source"] = (",\n  \"sources\": [\"Invented for this test.\"]", "", "missing-key", "/sources"),
        ["diode that is swept"] = ("\"triode\"", "\"diode\"", "missing-key", "/notSweptBecause"),
    };

    public static TheoryData<string> Names => [.. Bad.Keys];

    public static TheoryData<string> Brought => [.. TypeCatalogue.BuiltIn.All.Select(t => t.Name)];

    [Fact]
    public void A_good_document_gives_the_type_in_SI_units()
    {
        Assert.True(Evaluate(Good));
        var type = TypeDocument.Parse(Good).Value!;
        Assert.Equal(("TIDE-1", TubeKind.Triode, 0.015), (type.Name, type.Kind, type.Limit(RatingKind.CathodeCurrent)));
        Assert.Equal(60, type.TypicalPoints[0].Mu);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void A_bad_document_is_refused_with_its_place_by_reader_and_schema(string name)
    {
        var (from, to, code, path) = Bad[name];
        Assert.Contains(from, Good, StringComparison.Ordinal);
        var text = Good.Replace(from, to, StringComparison.Ordinal);
        var refusal = Assert.Single(TypeDocument.Parse(text).Refusals);
        Assert.Equal((code, path), (refusal.Code, refusal.Path));
        if (code != "malformed-json") Assert.False(Evaluate(text));
    }

    [Theory]
    [MemberData(nameof(Brought))]
    public void The_types_of_the_project_pass_the_schema(string name) => Assert.True(Evaluate(TypeDocument.Brought.Single(d => (string?)JsonNode.Parse(d)!["type"] == name)));

    private static bool Evaluate(string json)
    {
        using var document = JsonDocument.Parse(json);
        return Schema.Evaluate(document.RootElement).IsValid;
    }
}
