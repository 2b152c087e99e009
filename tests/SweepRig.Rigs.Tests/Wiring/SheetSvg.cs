using System.Globalization;
using System.Net;
using System.Text;

namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>Draws a sheet as SVG: ink on paper, also where the page around it is dark.</summary>
internal sealed class SheetSvg
{
    private const double Scale = 10;

    private readonly StringBuilder _svg = new();
    private readonly PartsList _parts;

    private SheetSvg(PartsList parts) => _parts = parts;

    public static string Draw(Sheet sheet, PartsList parts)
    {
        var drawing = new SheetSvg(parts);
        drawing.Sheet(sheet);
        return drawing._svg.ToString();
    }

    private void Sheet(Sheet sheet)
    {
        Line($"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {Px(sheet.Width)} {Px(sheet.Height)}\" role=\"img\" aria-label=\"{Escape(sheet.Title)}\">");
        Line($"<style>path{{fill:none;stroke:#1d2b3a;stroke-width:1.6;stroke-linejoin:round}}circle{{fill:#1d2b3a}}text{{font:12px sans-serif;fill:#1d2b3a}}.title{{font-size:16px;font-weight:600}}.ref{{font-weight:600}}.quiet{{fill:#4a5968}}</style>");
        Line($"<rect width=\"100%\" height=\"100%\" fill=\"#fffdf8\"/>");
        Text(2, 2.4, sheet.Title, "title");
        foreach (var item in sheet.Items) Item(item);
        Line($"</svg>");
    }

    private void Item(SheetItem item)
    {
        var (x, y) = item.Places[0];
        switch (item.Kind)
        {
            case "wire":
                Path("M" + string.Join('L', item.Places.Select(p => $"{Px(p.X)} {Px(p.Y)}")), 0, 0, 0, scaled: false);
                break;
            case "dot":
                Line($"<circle cx=\"{Px(x)}\" cy=\"{Px(y)}\" r=\"3\"/>");
                break;
            case "gnd":
                Path(Glyphs.Ground, x, y);
                break;
            case "rail":
                Path(Glyphs.RailAbove, x, y);
                Text(x, y - 1, item.Text, "quiet", "middle");
                break;
            case "negrail":
                Path(Glyphs.RailBelow, x, y);
                Text(x, y + 1.9, item.Text, "quiet", "middle");
                break;
            case "port":
                Port(x, y, item.Text);
                break;
            case "text":
                Text(x, y, item.Text, "quiet");
                break;
            case "pin":
                var inward = item.Text.StartsWith("left", StringComparison.Ordinal);
                Text(inward ? x + 0.6 : x - 0.6, y + 0.4, item.Text[item.Text.IndexOf(' ', StringComparison.Ordinal)..].Trim(), "", inward ? "start" : "end");
                break;
            case "box":
                var (width, height) = item.Places[1];
                Path(FormattableString.Invariant($"M0 0H{width}V{height}H0Z"), x, y);
                Text(x + width / 2, y - 0.6, $"{item.Ref} {item.Text}", "ref", "middle");
                break;
            case "opamp":
                Path(Glyphs.Amplifier, x, y);
                Text(x + 4.4, y + 0.9, $"{item.Ref} {_parts[item.Ref].Name.Split(' ')[0]}", "ref");
                break;
            case "pmos":
                Path(Glyphs.HighSideSwitch, x, y);
                Text(x + 2, y - 0.8, item.Ref, "ref", "middle");
                break;
            case "nmos":
                Path(Glyphs.LowSideSwitch, x, y);
                Text(x + 0.7, y + 2.4, item.Ref, "ref");
                break;
            case "changeover":
                Path(Glyphs.Changeover, x, y);
                Text(x + 2.2, y - 2.4, item.Ref, "ref");
                break;
            default:
                TwoEnded(item, x, y);
                break;
        }
    }

    private void Port(double x, double y, string text)
    {
        var words = text.Split(' ', 2);
        switch (words[0])
        {
            case "left":
                Text(x - 0.4, y + 0.4, words[1], "quiet", x < 14 ? "start" : "end", shiftToEdge: x < 14);
                break;
            case "right":
                Text(x + 0.6, y + 0.4, words[1], "quiet");
                break;
            default:
                Text(x, y - 0.5, words[1], "quiet", "middle");
                break;
        }
    }

    private void TwoEnded(SheetItem item, double x, double y)
    {
        var path = Glyphs.TwoEnded(item.Kind) ?? throw new FormatException($"There is no symbol '{item.Kind}'.");
        var part = _parts[item.Ref];
        var value = item.Kind is "diode" or "zener" or "contact" or "coil" or "link" ? "" : part.Label;
        switch (item.Text)
        {
            case "right":
                Path(path, x, y);
                Text(x + 2, y - 1.1, item.Ref, "ref", "middle");
                Text(x + 2, y + 1.9, value, "", "middle");
                break;
            case "down":
                Path(path, x, y, 90);
                Beside();
                break;
            case "up":
                Path(path, x, y + Glyphs.Length, -90);
                Beside();
                break;
            default:
                throw new FormatException($"{item.Ref} lies '{item.Text}'; it can lie right, down or up.");
        }

        void Beside()
        {
            Text(x + 1.1, y + 1.9, item.Ref, "ref");
            Text(x + 1.1, y + 3.2, value, "");
        }
    }

    private void Path(string path, double x, double y, double turn = 0, bool scaled = true)
    {
        var transform = scaled ? FormattableString.Invariant($" transform=\"translate({Px(x)} {Px(y)}) rotate({turn}) scale({Scale})\" style=\"stroke-width:0.16\"") : "";
        Line($"<path d=\"{path}\"{transform}/>");
    }

    private void Text(double x, double y, string text, string style, string anchor = "start", bool shiftToEdge = false)
    {
        if (text.Length == 0) return;
        if (shiftToEdge) (x, y) = (Math.Max(0.6, x - 4.5), y - 0.9);
        var css = style.Length > 0 ? $" class=\"{style}\"" : "";
        var where = anchor == "start" ? "" : $" text-anchor=\"{anchor}\"";
        Line($"<text x=\"{Px(x)}\" y=\"{Px(y)}\"{css}{where}>{Escape(text)}</text>");
    }

    private void Line(FormattableString text) => _svg.Append(text.ToString(CultureInfo.InvariantCulture)).Append('\n');

    private static string Px(double units) => (units * Scale).ToString("0.##", CultureInfo.InvariantCulture);

    private static string Escape(string text) => WebUtility.HtmlEncode(text);
}
