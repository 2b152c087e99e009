using SweepRig.Tubes.Catalogue;

namespace SweepRig.Tubes.Tests.Catalogue;

public sealed class UserTypeTests
{
    [Fact]
    public void A_type_of_the_user_stands_beside_the_others()
    {
        var reading = TypeCatalogue.BuiltIn.With([File("tide.json", "TIDE-1", aliases: "\"TIDE-1A\"")]);
        Assert.Empty(reading.Faults);
        Assert.Equal(("TIDE-1", "tide.json"), (reading.Catalogue.Find("tide-1a")!.Name, reading.Catalogue.Find("TIDE-1")!.File));
        Assert.Equal(TypeCatalogue.BuiltIn.All.Count + 1, reading.Catalogue.All.Count);
        Assert.Null(TypeCatalogue.BuiltIn.Find("TIDE-1"));
    }

    [Theory]
    [InlineData("EF91", "", "/type", "SweepRig brings it as EF91")]
    [InlineData("ef91", "", "/type", "SweepRig brings it as EF91")]
    [InlineData("TIDE-1", "\"6AM6\"", "/aliases", "SweepRig brings it as EF91")]
    [InlineData("TIDE-1", "\" 6am6 \"", "/aliases", "SweepRig brings it as EF91")]
    public void A_name_that_is_taken_keeps_its_type_and_says_so(string name, string aliases, string path, string says)
    {
        var reading = TypeCatalogue.BuiltIn.With([File("mine.json", name, aliases)]);
        var fault = Assert.Single(reading.Faults);
        Assert.Equal(("mine.json", "type-known", path), (fault.File, fault.Refusal.Code, fault.Refusal.Path));
        Assert.Contains(says, fault.Refusal.Allowed, StringComparison.Ordinal);
        Assert.Contains("\"replaces\": \"EF91\"", fault.Refusal.Remedy, StringComparison.Ordinal);
        Assert.Null(reading.Catalogue.Find("EF91")!.File);
    }

    [Fact]
    public void A_type_that_is_said_to_be_replaced_is_and_its_example_constants_stay()
    {
        var reading = TypeCatalogue.BuiltIn.With([File("mine.json", "EF91", "\"CV138\"", "EF91", confidence: "makers-sheet")]);
        Assert.Empty(reading.Faults);
        var type = reading.Catalogue.Find("EF91")!;
        Assert.Equal(("mine.json", 1.1), (type.File, type.Careful(RatingKind.PlateDissipation)!.Value));
        Assert.Same(TypeCatalogue.BuiltIn.Find("EF91")!.Example, type.Example);
        Assert.Null(reading.Catalogue.Find("6AM6"));
    }

    [Fact]
    public void A_harmful_filling_is_not_made_harmless()
    {
        var reading = TypeCatalogue.BuiltIn.With([File("mine.json", "0A2", replaces: "0A2")]);
        Assert.Equal("not-to-be-replaced", Assert.Single(reading.Faults).Refusal.Code);
        Assert.NotNull(reading.Catalogue.Find("0A2")!.Caution);
    }

    [Fact]
    public void Of_two_files_of_one_type_the_first_counts_and_the_other_is_told()
    {
        var reading = TypeCatalogue.BuiltIn.With([File("b.json", "TIDE-1"), File("a.json", "TIDE-1")]);
        var fault = Assert.Single(reading.Faults);
        Assert.Equal("b.json", fault.File);
        Assert.StartsWith("a.json has it", fault.Refusal.Allowed, StringComparison.Ordinal);
        Assert.Equal("a.json", reading.Catalogue.Find("TIDE-1")!.File);
    }

    [Theory]
    [InlineData("EF91X", "EF91X", "", "replaces-nothing")]
    [InlineData("TIDE-1", "", "\"tide-1\"", "name-twice")]
    public void What_makes_no_sense_is_refused(string name, string replaces, string aliases, string code) =>
        Assert.Equal(code, Assert.Single(TypeCatalogue.BuiltIn.With([File("mine.json", name, aliases, replaces)]).Faults).Refusal.Code);

    [Fact]
    public void A_faulty_file_is_told_with_its_place_and_takes_no_other_with_it()
    {
        var bad = File("bad.json", "TIDE-2");
        var reading = TypeCatalogue.BuiltIn.With([bad with { Json = bad.Json.Replace("\"value\": 1.1", "\"value\": -1", StringComparison.Ordinal) }, File("good.json", "TIDE-1")]);
        var fault = Assert.Single(reading.Faults);
        Assert.Equal(("bad.json", "/ratings/0/value"), (fault.File, fault.Refusal.Path));
        Assert.NotNull(reading.Catalogue.Find("TIDE-1"));
    }

    private static TypeFile File(string file, string name, string aliases = "", string replaces = "", string confidence = "from-memory") => new(file, $$"""
        {
          "format": "tube-type/1", "type": "{{name}}", {{(replaces.Length > 0 ? $"\"replaces\": \"{replaces}\"," : "")}} "aliases": [{{aliases}}], "kind": "triode",
          "heaters": [{"volts": 6.3, "amperes": 0.3}],
          "base": {"name": "B7G", "pins": ["p", "nc", "h", "h", "nc", "g1", "k"], "confidence": "from-memory"},
          "ratings": [{"limit": "plate-watts", "value": 1.1, "system": "design-centre", "confidence": "{{confidence}}"}],
          "sources": ["Invented for this test."]
        }
        """);
}
