using SweepRig.Domain.Quantities;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Drawing;

/// <summary>Gathers a drawing piece by piece; where wires meet, it puts the dots by itself.</summary>
internal sealed class SchematicPen
{
    public const double LabelSize = 10, NameSize = 11.5;
    private const double LineOfText = 12, Border = 8;

    private readonly List<DrawnPart> _parts = [];
    private readonly List<DrawnWire> _wires = [];
    private readonly List<DrawnFlag> _flags = [];
    private readonly List<DrawnLabel> _labels = [];

    public void Part(Part part, IReadOnlyList<DrawnShape> shapes, params (string Node, double X, double Y)[] pins) =>
        _parts.Add(new(part.Name, [.. pins.Select(p => new DrawnPin(p.Node, new(p.X, p.Y)))], shapes));

    /// <summary>Wires from point to point.</summary>
    public void Wire(params (double X, double Y)[] corners)
    {
        for (var n = 1; n < corners.Length; n++)
            if (corners[n] != corners[n - 1]) _wires.Add(new(new(corners[n - 1].X, corners[n - 1].Y), new(corners[n].X, corners[n].Y)));
    }

    public void Flag(string node, double x, double y) => _flags.Add(new(node, new(x, y)));

    public void Text(string text, double x, double y, TextSide side, double size = LabelSize, bool bold = false) => _labels.Add(new(text, new(x, y), side, size, bold));

    /// <summary>Lines below each other about the height y, the first in bold.</summary>
    public void Lines(IReadOnlyList<string> lines, double x, double y, TextSide side)
    {
        var top = y - (lines.Count - 1) * LineOfText / 2 + 0.3 * LabelSize;
        for (var n = 0; n < lines.Count; n++) Text(lines[n], x, top + n * LineOfText, side, bold: n == 0);
    }

    /// <summary>Name and value of a part.</summary>
    public static IReadOnlyList<string> Words(Part part) => part switch
    {
        Resistor r => [r.Name, Engineering.Format(r.Ohms, "Ω", 3)],
        Capacitor c => [c.Name, Engineering.Format(c.Farads, "F", 3)],
        Source s => [s.Name, s.Volts.IsSteady ? Volts(s.Volts.At(0)) : "pulses"],
        TubePart t => [.. new[] { t.Name, t.Number, t.TypeName, t.Curve is null ? null : "as swept" }.OfType<string>()],
        _ => [part.Name],
    };

    public static string Volts(double volts) => $"{(volts > 0 ? "+" : "")}{Engineering.Format(volts, "V", 4)}".Replace('-', '−');

    /// <summary>Width of the widest of some lines as <see cref="Lines"/> writes them.</summary>
    public static double Wide(IReadOnlyList<string> lines) => lines.Select((l, n) => TextWidth.Of(l, LabelSize, n == 0)).DefaultIfEmpty(0).Max();

    public Schematic Finish(string title, string describes)
    {
        double right = 0, bottom = 0;
        foreach (var label in _labels) (right, bottom) = (Math.Max(right, label.Bounds.Right), Math.Max(bottom, label.Bounds.Bottom));
        foreach (var wire in _wires) (right, bottom) = (Math.Max(right, Math.Max(wire.From.X, wire.To.X)), Math.Max(bottom, Math.Max(wire.From.Y, wire.To.Y)));
        foreach (var pin in _parts.SelectMany(p => p.Pins)) (right, bottom) = (Math.Max(right, pin.At.X + 16), Math.Max(bottom, pin.At.Y + 12));
        return new(title, describes, Math.Ceiling(right + Border), Math.Ceiling(bottom + Border), _parts, _wires, Dots(), _flags, _labels);
    }

    // A wire that ends on another, or three ends in one place. Wires that only cross are not joined.
    private List<Place> Dots()
    {
        List<Place> ends = [.. _wires.SelectMany(w => (Place[])[w.From, w.To]), .. _parts.SelectMany(p => p.Pins).Select(p => p.At)];
        return [.. ends.GroupBy(e => e).Where(g => g.Count() >= 3 || _wires.Any(w => Inside(w, g.Key))).Select(g => g.Key).OrderBy(p => p.Y).ThenBy(p => p.X)];
    }

    /// <summary>Between the ends of a wire and not at one of them.</summary>
    public static bool Inside(DrawnWire wire, Place at) => wire.From.X == wire.To.X
        ? at.X == wire.From.X && at.Y > Math.Min(wire.From.Y, wire.To.Y) && at.Y < Math.Max(wire.From.Y, wire.To.Y)
        : at.Y == wire.From.Y && at.X > Math.Min(wire.From.X, wire.To.X) && at.X < Math.Max(wire.From.X, wire.To.X);
}
