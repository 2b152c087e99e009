using System.Xml.Linq;
using SweepRig.Service.Reports;

namespace SweepRig.Service.Tests.Reports;

public sealed class HtmlReportTests
{
    private static readonly string Html = HtmlReport.Write(RunReport.Of(ReportedRun.Of()));
    private static readonly XDocument Page = XDocument.Parse(Html);

    private static IEnumerable<XElement> Named(string name) => Page.Descendants().Where(e => e.Name.LocalName == name);

    private static string TextOf(XElement element) => string.Concat(element.DescendantNodes().OfType<XText>().Select(t => t.Value));

    [Fact]
    public void It_is_well_formed_and_says_what_it_is()
    {
        Assert.StartsWith("<!DOCTYPE html>", Html, StringComparison.Ordinal);
        Assert.Equal("en", (string?)Page.Root!.Attribute("lang"));
        Assert.Contains("SKUA-014, 6AU6", (string)Assert.Single(Named("h1")), StringComparison.Ordinal);
        Assert.Equal(["Curves", "Levels", "Trips and gaps", "Where it comes from"], Named("h2").Select(h => h.Value));
    }

    [Fact]
    public void It_needs_nothing_from_elsewhere()
    {
        Assert.Empty(Named("script"));
        Assert.Empty(Named("link"));
        Assert.DoesNotContain(Page.Descendants().Attributes(), a => a.Name.LocalName is "src" or "srcset" or "data" or "action");
        Assert.All(Page.Descendants().Attributes().Where(a => a.Name.LocalName == "href"), a => Assert.StartsWith("#", a.Value, StringComparison.Ordinal));
        Assert.DoesNotContain("@import", Html, StringComparison.OrdinalIgnoreCase);
        var addresses = System.Text.RegularExpressions.Regex.Matches(Html, @"https?://[^""'\s<)]*").Select(m => m.Value).Distinct();
        Assert.All(addresses, a => Assert.StartsWith("http://www.w3.org/", a, StringComparison.Ordinal));
        Assert.All(System.Text.RegularExpressions.Regex.Matches(Html, @"url\(([^)]*)\)").Select(m => m.Groups[1].Value), u => Assert.StartsWith("#", u, StringComparison.Ordinal));
    }

    [Fact]
    public void Names_within_the_page_are_its_own()
    {
        var ids = Page.Descendants().Attributes("id").Select(a => a.Value).ToList();
        Assert.Equal(ids.Count, ids.Distinct().Count());
        var asked = System.Text.RegularExpressions.Regex.Matches(Html, @"url\(#([^)]*)\)").Select(m => m.Groups[1].Value).Distinct();
        Assert.All(asked, a => Assert.Contains(a, ids));
    }

    [Fact]
    public void Figures_are_drawings_with_named_axes_and_curves()
    {
        var drawings = Named("svg").Where(s => s.Parent!.Name.LocalName == "figure").ToList();
        Assert.Equal(2, drawings.Count);
        Assert.Equal("Figure 1. Output over drive: output (V) against drive (V), curves up, down", (string?)drawings[0].Attribute("aria-label"));
        Assert.All(drawings, d => Assert.True(d.Descendants().Count(e => e.Name.LocalName is "path" or "line") > 20));
        Assert.Contains("output (V)", TextOf(drawings[0]), StringComparison.Ordinal);
        Assert.Contains("current (mA)", TextOf(drawings[1]), StringComparison.Ordinal);
    }

    [Fact]
    public void Levels_trips_gaps_and_the_nominal_calibration_are_told()
    {
        var levels = Assert.Single(Named("table"));
        Assert.Contains("switching drive", levels.Descendants().Where(e => e.Name.LocalName == "th").Select(e => e.Value));
        Assert.Contains("±", levels.Value, StringComparison.Ordinal);
        Assert.Contains("5.1 mA", Page.Root!.Value, StringComparison.Ordinal);
        Assert.Contains("10 points from point 60 on are missing: lost on the link", Page.Root.Value, StringComparison.Ordinal);
        Assert.Contains("The rig was not calibrated", Page.Root.Value, StringComparison.Ordinal);
        Assert.Contains(ReportedRun.Id, Named("footer").Single().Value, StringComparison.Ordinal);
    }

    [Fact]
    public void A_label_cannot_become_markup()
    {
        const string hostile = "</style><script>alert(1)</script>";
        var html = HtmlReport.Write(RunReport.Of(ReportedRun.Of(hostile)));
        Assert.DoesNotContain("<script", html, StringComparison.OrdinalIgnoreCase);
        Assert.StartsWith(hostile, (string)XDocument.Parse(html).Descendants("h1").Single(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_quiet_run_says_that_nothing_happened() =>
        Assert.Contains("no interlock fired", HtmlReport.Write(RunReport.Of(ReportedRun.Of(troubled: false))), StringComparison.Ordinal);
}
