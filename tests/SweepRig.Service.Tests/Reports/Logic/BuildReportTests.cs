using System.Xml.Linq;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Building;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Service.Reports;
using SweepRig.Service.Reports.Logic;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;
using UglyToad.PdfPig;

namespace SweepRig.Service.Tests.Reports.Logic;

/// <summary>What goes to the bench with a half adder, as HTML and as PDF.</summary>
public sealed class BuildReportTests
{
    private static readonly DateTimeOffset Made = new(2026, 3, 14, 9, 0, 0, TimeSpan.Zero);

    public static TheoryData<string> Papers => [.. Paper.All.Select(p => p.Name)];

    [Fact]
    public void The_page_has_drawing_parts_and_readings()
    {
        var html = HtmlReport.Write(Sheet());
        Assert.Equal(html, HtmlReport.Write(Sheet()));
        var page = XElement.Parse(html[html.IndexOf("<html", StringComparison.Ordinal)..]);
        XNamespace svg = "http://www.w3.org/2000/svg";
        var drawn = page.Descendants(svg + "g").Select(g => g.Attribute("data-part")?.Value).OfType<string>().ToList();
        Assert.Equal(Plan().Network.Parts.Select(p => p.Name).Order(), drawn.Order());
        foreach (var expected in (string[])["SKUA-014", "Before you begin", "licensed electrician", "a=1 b=0", "2.4 A", "E12", "10 MΩ"]) Assert.Contains(expected, html, StringComparison.Ordinal);
        // Test voltages of the outputs stand in the last step, one for each row.
        var last = page.Descendants("section").Last();
        Assert.Equal(["node", "a=0 b=0", "a=0 b=1", "a=1 b=0", "a=1 b=1"], last.Descendants("th").Take(5).Select(t => t.Value));
        Assert.All(last.Descendants("tbody").Descendants("td"), td => Assert.Matches(@"^−?\d+\.\d+ ± \d+\.\d+$", td.Value));
    }

    [Theory]
    [MemberData(nameof(Papers))]
    public void The_sheets_fit_their_paper_with_drawings_as_lines(string name)
    {
        var paper = Paper.Find(name)!;
        using var document = PdfDocument.Open(PdfReport.Write(Sheet(), paper));
        Assert.InRange(document.NumberOfPages, 5, 9);
        var words = string.Concat(document.GetPages().SelectMany(p => p.Letters).Select(l => l.Value));
        foreach (var part in Plan().Network.Parts.Where(p => p is not Source)) Assert.Contains(part.Name, words, StringComparison.Ordinal);
        foreach (var page in document.GetPages())
        {
            Assert.Empty(page.GetImages());
            Assert.All(page.Letters, l => Assert.InRange(l.Location.X, 20, paper.Width - 20));
            Assert.All(page.Letters, l => Assert.InRange(l.Location.Y, 20, paper.Height - 20));
            // Nothing below what can be read without a glass.
            Assert.All(page.Letters.Where(l => l.Value.Trim().Length > 0), l => Assert.True(l.PointSize >= 5.5, $"{l.Value} is {l.PointSize:0.0} points"));
        }
    }

    [Fact]
    public void A_cell_that_edges_set_has_its_steering_in_parts_drawing_and_steps()
    {
        var gates = SequenceExamples.All.Single(e => e.Word == "clocked").Make(new(28, -14, 6.3), new());
        var plan = BuildPlan.Of(gates, p => new(p, "p", "s", "g", "0", new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3))) { TypeName = "EF91", HeaterAmps = 0.3 }).Value!;
        // What makes the opposite of its data stands alone and comes first; the pair holds itself and is built at once, with the ways of the edge.
        var steps = BuildChecklist.Of(plan, BuildTolerances.Usual).Steps.Where(s => s.Parts.Count > 0).ToList();
        Assert.Equal(["Stage q_n", "Stages q, p"], steps.Select(s => s.Title));
        Assert.Equal(plan.Network.Parts.Where(p => p is not Source).Select(p => p.Name).Order(), steps.SelectMany(s => s.Parts).Select(p => p.Name).Order());
        Assert.Contains(steps[1].Parts, p => p.Name == "Dt_q_1");
        Assert.All(steps, s => Assert.NotEmpty(s.Readings));
        using var document = PdfDocument.Open(PdfReport.Write(BuildReport.Of(plan, BuildTolerances.Usual, 10e6, Made), Paper.All[0]));
        var letters = document.GetPages().SelectMany(p => p.Letters).ToList();
        var words = string.Concat(letters.Select(l => l.Value));
        foreach (var part in plan.Network.Parts.Where(p => p is not Source)) Assert.Contains(part.Name, words, StringComparison.Ordinal);
        Assert.All(letters.Where(l => l.Value.Trim().Length > 0), l => Assert.True(l.PointSize >= 5.5, $"{l.Value} is {l.PointSize:0.0} points"));
    }

    [Fact]
    public void A_network_of_ones_own_is_drawn_part_by_part()
    {
        var network = new Network("divider", [new Source("E", "b", "0", Waveform.Steady(20)), new Resistor("R1", "b", "m", 100_000), new Resistor("R2", "m", "0", 100_000), new Capacitor("C1", "m", "0", 1e-9)]);
        var html = HtmlReport.Write(BuildReport.Of(BuildPlan.Of(network, TestContext.Current.CancellationToken).Value!, BuildTolerances.Usual, 10e6, Made));
        Assert.Contains("data-part=\"R1\"", html, StringComparison.Ordinal);
        Assert.Contains("at rest", html, StringComparison.Ordinal);
        Assert.Contains("1 nF", html, StringComparison.Ordinal);
    }

    internal static Report Sheet() => BuildReport.Of(Plan(), BuildTolerances.Usual, TestVoltages.UsualMeterOhms, Made);

    private static BuildPlan Plan()
    {
        var number = 14;
        var tubes = new Dictionary<string, TubePart>(StringComparer.Ordinal);
        var gates = GateExamples.HalfAdder(new(28, -14, 6.3), new());
        foreach (var position in gates.Positions)
            tubes[position] = new(position, "p", "s", "g", "0", new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3))) { Number = $"SKUA-{number++:000}", TypeName = "EF91", HeaterAmps = 0.3 };
        return BuildPlan.Of(gates, p => tubes[p]).Value!;
    }
}
