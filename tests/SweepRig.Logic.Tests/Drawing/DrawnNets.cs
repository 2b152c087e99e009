using SweepRig.Logic.Drawing;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Tests.Drawing;

/// <summary>Reads a drawing as a person does: what touches is joined, what crosses is not, equal names are joined.</summary>
internal sealed class DrawnNets
{
    private readonly NodeGroups _groups = new();
    private readonly Schematic _drawing;

    public DrawnNets(Schematic drawing)
    {
        _drawing = drawing;
        foreach (var wire in drawing.Wires) _groups.Join(Key(wire.From), Key(wire.To));
        foreach (var dot in drawing.Dots)
            foreach (var wire in drawing.Wires.Where(w => SchematicPen.Inside(w, dot))) _groups.Join(Key(dot), Key(wire.From));
        foreach (var flag in drawing.Flags) _groups.Join("named " + flag.Node, Key(flag.At));
    }

    /// <summary>Of each pin the node it claims and a mark that pins joined by the drawing share.</summary>
    public IEnumerable<(DrawnPart Part, DrawnPin Pin)> Pins => _drawing.Parts.SelectMany(p => p.Pins.Select(pin => (p, pin)));

    public bool Joined(DrawnPin a, DrawnPin b) => _groups.Together(Key(a.At), Key(b.At));

    private static string Key(Place at) => FormattableString.Invariant($"{at.X};{at.Y}");
}
