using SweepRig.Rigs.Tests.Support;

namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>
/// <c>firmware-notes/wiring.md</c> and its drawings against their sources. With SWEEPRIG_WRITE_WIRING=1 the tables and drawings are written anew.
/// </summary>
public sealed class WiringTests
{
    private static readonly string Notes = Repository.At("firmware-notes");
    private static readonly bool Rewrite = Environment.GetEnvironmentVariable("SWEEPRIG_WRITE_WIRING") == "1";
    private static readonly PartsList Parts = PartsList.Read(Path.Combine(Notes, "wiring", "parts.csv"));

    public static TheoryData<string> Sheets => [.. Directory.GetFiles(Path.Combine(Notes, "wiring"), "*.sheet").Select(f => Path.GetFileNameWithoutExtension(f)!)];

    public static TheoryData<string> Figures => [.. WorstCase.Of(Parts).Select(l => l.Figure)];

    [Theory]
    [MemberData(nameof(Sheets))]
    public void A_drawing_is_that_of_its_sheet(string name)
    {
        var drawing = SheetSvg.Draw(Sheet.Read(Path.Combine(Notes, "wiring", name + ".sheet")), Parts);
        Same(Path.Combine(Notes, "wiring", name + ".svg"), drawing);
    }

    [Theory]
    [InlineData("parts", "made from wiring/parts.csv")]
    [InlineData("worst case", "computed from wiring/parts.csv")]
    public void A_table_is_that_of_the_parts_list(string name, string source)
    {
        var table = name == "parts" ? Parts.Table() : WorstCase.Table(Parts);
        var path = Path.Combine(Notes, "wiring.md");
        var document = File.ReadAllText(path);
        string start = $"<!-- {name}: {source} -->", end = $"<!-- end of {name} -->";
        var from = document.IndexOf(start, StringComparison.Ordinal);
        var to = document.IndexOf(end, StringComparison.Ordinal);
        Assert.True(from >= 0 && to > from, $"{path} has no place for the table '{name}'.");
        Same(path, $"{document[..from]}{start}\n\n{table}\n{document[to..]}");
    }

    [Theory]
    [MemberData(nameof(Figures))]
    public void Every_figure_holds_at_the_ends_of_the_tolerances(string figure)
    {
        var line = WorstCase.Of(Parts).Single(l => l.Figure == figure);
        Assert.True(line.Holds, FormattableString.Invariant($"{figure}: {line.Least:0.###} to {line.Most:0.###} {line.Unit}; needed is {line.Needed}."));
    }

    [Fact]
    public void Values_are_preferred_numbers()
    {
        foreach (var part in Parts.All.Where(p => p.Series.Length > 0))
            Assert.True(PreferredNumbers.Holds(part.Series, part.Si), $"{part.Ref}: {part.Value} {part.Unit} is not in {part.Series} (IEC 60063).");
    }

    /// <summary>Against numbers of the standard that formula and rounding could get wrong (IEC 60063:2015, tables of E24, E96 and E192).</summary>
    [Theory]
    [InlineData("E24", 3.3e3, true)]
    [InlineData("E24", 3.2e3, false)]
    [InlineData("E12", 5.1e3, false)]
    [InlineData("E96", 5.76e3, true)]
    [InlineData("E96", 5.75e3, false)]
    [InlineData("E96", 9.76, true)]
    [InlineData("E192", 9.20e2, true)]
    [InlineData("E192", 9.19e2, false)]
    public void Preferred_numbers_are_those_of_the_standard(string series, double value, bool holds) =>
        Assert.Equal(holds, PreferredNumbers.Holds(series, value));

    [Fact]
    public void Every_part_is_drawn_or_told_of()
    {
        var drawn = Directory.GetFiles(Path.Combine(Notes, "wiring"), "*.sheet").SelectMany(f => Sheet.Read(f).Items).Select(i => i.Ref).ToHashSet();
        var text = File.ReadAllText(Path.Combine(Notes, "wiring.md"));
        var prose = text[..text.IndexOf("<!-- parts", StringComparison.Ordinal)];
        foreach (var part in Parts.All)
            Assert.True(drawn.Contains(part.Ref) || prose.Contains(part.Ref, StringComparison.Ordinal), $"{part.Ref} is on no drawing and in no sentence.");
    }

    private static void Same(string path, string wanted)
    {
        if (Rewrite) File.WriteAllText(path, wanted);
        var found = File.Exists(path) ? File.ReadAllText(path) : "";
        Assert.True(found == wanted, $"{path} is not made from its source. Run this test with SWEEPRIG_WRITE_WIRING=1 and look at what changed.");
    }
}
