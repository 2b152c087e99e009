using System.Globalization;
using System.Security;
using System.Text;

namespace SweepRig.Logic.Drawing;

/// <summary>A drawing as SVG 1.1: in the colour of the text around it, on nothing, as large as its surroundings make it. The same drawing gives the same bytes.</summary>
public static class SvgWriter
{
    public static string Write(Schematic drawing)
    {
        ArgumentNullException.ThrowIfNull(drawing);
        var svg = new StringBuilder();
        svg.Append(CultureInfo.InvariantCulture, $"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {N(drawing.Width)} {N(drawing.Height)}\" role=\"img\" aria-label=\"{Escaped(drawing.Title)}\" ")
            .Append("fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.3\" stroke-linecap=\"round\" stroke-linejoin=\"round\" font-family=\"'DejaVu Sans', Arial, Helvetica, sans-serif\">\n")
            .Append(CultureInfo.InvariantCulture, $"<title>{Escaped(drawing.Title)}</title>\n<desc>{Escaped(drawing.Describes)}</desc>\n<g class=\"wires\">\n");
        foreach (var wire in drawing.Wires) svg.Append(CultureInfo.InvariantCulture, $"<path d=\"M{Point(wire.From)} L{Point(wire.To)}\"/>\n");
        svg.Append("</g>\n<g class=\"dots\" fill=\"currentColor\" stroke=\"none\">\n");
        foreach (var dot in drawing.Dots) svg.Append(CultureInfo.InvariantCulture, $"<circle cx=\"{N(dot.X)}\" cy=\"{N(dot.Y)}\" r=\"2.6\"/>\n");
        svg.Append("</g>\n");
        foreach (var part in drawing.Parts)
        {
            svg.Append(CultureInfo.InvariantCulture, $"<g class=\"part\" data-part=\"{Escaped(part.Name)}\">");
            foreach (var shape in part.Shapes) svg.Append(Shape(shape));
            svg.Append("</g>\n");
        }
        foreach (var flag in drawing.Flags)
        {
            svg.Append(CultureInfo.InvariantCulture, $"<g class=\"node\" data-node=\"{Escaped(flag.Node)}\">");
            foreach (var shape in SchematicFlags.Shapes(flag)) svg.Append(Shape(shape));
            svg.Append("</g>\n");
        }
        svg.Append("<g class=\"words\" fill=\"currentColor\" stroke=\"none\">\n");
        foreach (var label in drawing.Labels)
        {
            var anchor = label.Side switch { TextSide.Start => "start", TextSide.Middle => "middle", _ => "end" };
            svg.Append(CultureInfo.InvariantCulture, $"<text x=\"{N(label.At.X)}\" y=\"{N(label.At.Y)}\" font-size=\"{N(label.Size)}\" text-anchor=\"{anchor}\"{(label.IsBold ? " font-weight=\"bold\"" : "")}>{Escaped(label.Text)}</text>\n");
        }
        return svg.Append("</g>\n</svg>\n").ToString();
    }

    private static string Shape(DrawnShape shape) => shape switch
    {
        DrawnPath p => $"<path d=\"M{string.Join(" L", p.Points.Select(Point))}{(p.IsFilled ? " Z\" fill=\"currentColor" : "")}\"{(p.IsDashed ? " stroke-dasharray=\"4 4\"" : "")}/>",
        DrawnCircle c => string.Create(CultureInfo.InvariantCulture, $"<circle cx=\"{N(c.Centre.X)}\" cy=\"{N(c.Centre.Y)}\" r=\"{N(c.Radius)}\"/>"),
        DrawnBox b => string.Create(CultureInfo.InvariantCulture, $"<rect x=\"{N(b.X)}\" y=\"{N(b.Y)}\" width=\"{N(b.Width)}\" height=\"{N(b.Height)}\"{(b.Corner > 0 ? $" rx=\"{N(b.Corner)}\"" : "")}/>"),
        _ => throw new InvalidOperationException($"SweepRig bug: no way to write {shape.GetType().Name}."),
    };

    private static string Point(Place at) => $"{N(at.X)} {N(at.Y)}";

    private static string N(double value) => Math.Round(value, 2).ToString("0.##", CultureInfo.InvariantCulture);

    private static string Escaped(string text) => SecurityElement.Escape(text);
}
