using System.Globalization;
using System.Xml.Linq;
using SweepRig.Logic.Drawing;

namespace SweepRig.Service.Reports;

/// <summary>A report as one HTML file that needs nothing else: figures are inline SVG, styles stand in it, no script. Well-formed as XML too.</summary>
public static class HtmlReport
{
    private const int FigureWidth = 900, FigureHeight = 460, SmallHeight = 300;

    /// <exception cref="IOException">No typeface is installed to draw the figures with.</exception>
    public static string Write(Report report)
    {
        ArgumentNullException.ThrowIfNull(report);
        var figure = 0;
        var page = new XElement("html", new XAttribute("lang", "en"),
            new XElement("head",
                new XElement("meta", new XAttribute("charset", "utf-8")),
                new XElement("meta", new XAttribute("name", "viewport"), new XAttribute("content", "width=device-width, initial-scale=1")),
                new XElement("title", "Report: " + report.Title),
                new XElement("style", HtmlStyle.Text(report.Footer))),
            new XElement("body",
                new XElement("main",
                    new XElement("header", new XElement("h1", report.Title), new XElement("p", report.Subtitle)),
                    report.Sections.Select(s => new XElement("section",
                        new XElement("h2", s.Heading),
                        s.Lead.Select(n => new XElement("p", new XAttribute("class", "lead"), n)),
                        s.Figures.Select(f => Figure(f, ++figure)),
                        s.Drawings.Select(d => new XElement("figure", new XAttribute("class", "drawing"), XElement.Parse(SvgWriter.Write(d)), new XElement("figcaption", d.Title))),
                        s.Tables.Select(t => Table(t, s.Heading)),
                        s.Notes.Select(n => new XElement("p", n))))),
                new XElement("footer", report.Footer)));
        return "<!DOCTYPE html>\n" + page.ToString(SaveOptions.DisableFormatting) + "\n";
    }

    private static XElement Figure(ReportFigure figure, int number)
    {
        var height = figure.IsSmall ? SmallHeight : FigureHeight;
        using var plot = CurvePlot.Draw(figure, FigureWidth, height);
        var name = $"Figure {number}. {figure.Caption}";
        var shown = figure.Bars.Count > 0 ? $"{figure.Bars.Count} bars" : $"curves {string.Join(", ", figure.Curves.Select(c => c.Label))}";
        return new("figure", Svg(plot.GetSvgXml(FigureWidth, height), number, height, $"{name}: {figure.Vertical} against {figure.Horizontal}, {shown}"),
            new XElement("figcaption", name));
    }

    // Two drawings in one page must not share the names of their clip paths.
    private static XElement Svg(string drawn, int number, int height, string describes)
    {
        var svg = XElement.Parse(drawn);
        var prefix = $"f{number.ToString(CultureInfo.InvariantCulture)}-";
        foreach (var attribute in svg.DescendantsAndSelf().Attributes().ToArray())
        {
            if (attribute.Name.LocalName == "id") attribute.Value = prefix + attribute.Value;
            else if (attribute.Name.LocalName == "href" && attribute.Value.StartsWith('#')) attribute.Value = "#" + prefix + attribute.Value[1..];
            else attribute.Value = attribute.Value.Replace("url(#", "url(#" + prefix, StringComparison.Ordinal);
        }
        svg.SetAttributeValue("width", null);
        svg.SetAttributeValue("height", null);
        svg.SetAttributeValue("viewBox", $"0 0 {FigureWidth} {height}");
        svg.SetAttributeValue("role", "img");
        svg.SetAttributeValue("aria-label", describes);
        return svg;
    }

    private static XElement Table(ReportTable table, string heading)
    {
        if (table.Columns.Count == 0) return new("dl", table.Rows.Select(r => new object[] { new XElement("dt", r[0]), new XElement("dd", r[1]) }));
        // A wide table scrolls by itself on a narrow screen, and by keyboard.
        return new("div", new XAttribute("class", "wide"), new XAttribute("role", "region"), new XAttribute("aria-label", heading), new XAttribute("tabindex", "0"),
            new XElement("table",
                table.Caption.Length == 0 ? null : new XElement("caption", table.Caption),
                new XElement("thead", new XElement("tr", table.Columns.Select((c, i) => c.Length == 0 ? new XElement("td", "") : new XElement("th", new XAttribute("scope", "col"), Side(table, i), c)))),
                new XElement("tbody", table.Rows.Select(r => new XElement("tr",
                    r.Select((cell, i) => i == 0 ? new XElement("th", new XAttribute("scope", "row"), cell) : new XElement("td", Side(table, i), cell)))))));
    }

    // Names and units stand to the left anyway.
    private static XAttribute? Side(ReportTable table, int column) => column >= 2 && column < table.Words ? new("class", "word") : null;
}
