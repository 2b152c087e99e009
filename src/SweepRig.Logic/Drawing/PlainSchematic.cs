using SweepRig.Logic.Networks;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Drawing;

/// <summary>Draws any network: every part by itself in a grid, with the node named at each of its leads.</summary>
public static class PlainSchematic
{
    private const double Left = 20, Lead = 12, Name = 9;

    /// <param name="types">Tells which types have no screen; those that the project knows when null.</param>
    /// <param name="width">At which a row is broken. Unit: that of the drawing.</param>
    public static Schematic Of(Network network, TypeCatalogue? types = null, double width = 900)
    {
        ArgumentNullException.ThrowIfNull(network);
        var pen = new SchematicPen();
        double x = Left, top = 10;
        var height = 0.0;
        // Tubes first, for they are what the eye looks for; sources last.
        foreach (var part in network.Parts.OrderBy(p => p switch { TubePart => 0, Source => 2, _ => 1 }))
        {
            var (before, after, tall) = Room(part);
            if (x > Left && (x + before + after > width || height > 0 && tall != height))
            {
                (x, top) = (Left, top + height);
            }
            height = tall;
            if (part is TubePart tube) Tube(pen, tube, tube.Curve is not null || TriodeTypes.Is(tube, types ?? TypeCatalogue.BuiltIn), x + before, top);
            else TwoLeads(pen, part, x + before, top);
            x += before + after;
        }
        var counts = network.Parts.GroupBy(p => p switch { TubePart => "tubes", Resistor => "resistors", Capacitor => "capacitors", Diode => "diodes", _ => "sources" }).Select(g => $"{g.Count()} {g.Key}");
        return pen.Finish($"Schematic of {network.Name}", $"{string.Join(", ", counts)} between {network.Nodes.Count} nodes. Each part stands by itself; leads with the same name are joined.");
    }

    private static (double Before, double After, double Tall) Room(Part part)
    {
        double Wide(string node) => TextWidth.Of(node, SchematicPen.LabelSize, false);
        var words = SchematicPen.Wide(SchematicPen.Words(part));
        if (part is TubePart tube)
            return (Math.Ceiling(Symbols.TubeReach + Lead + 8 + Wide(tube.Grid)), Math.Ceiling(Math.Max(Symbols.TubeReach + Lead + 8 + Wide(tube.Screen), 24 + Math.Max(words, Wide(tube.Cathode))) + 24), 190);
        var half = part.Nodes.Max(Wide) / 2;
        return (Math.Ceiling(Math.Max(18, half)), Math.Ceiling(Math.Max(half, 18 + words) + 16), 116);
    }

    private static void Tube(SchematicPen pen, TubePart tube, bool triode, double x, double top)
    {
        var y = top + 26 + Symbols.TubeRise;
        List<(string Node, double X, double Y)> pins = [(tube.Plate, x, y - Symbols.TubeRise), (tube.Grid, x - Symbols.TubeReach, y + Symbols.GridDrop), (tube.Cathode, x, y + Symbols.TubeRise)];
        if (!triode) pins.Add((tube.Screen, x + Symbols.TubeReach, y + Symbols.ScreenDrop));
        pen.Part(tube, Symbols.Tube(x, y, !triode), [.. pins]);
        Up(pen, tube.Plate, x, y - Symbols.TubeRise);
        Down(pen, tube.Cathode, x, y + Symbols.TubeRise);
        Side(pen, tube.Grid, x - Symbols.TubeReach, y + Symbols.GridDrop, -1);
        if (!triode) Side(pen, tube.Screen, x + Symbols.TubeReach, y + Symbols.ScreenDrop, 1);
        pen.Lines(SchematicPen.Words(tube), x + 16, y + Symbols.TubeRise + (tube.Cathode == Network.Ground ? 14 : 8), TextSide.Start);
    }

    private static void TwoLeads(SchematicPen pen, Part part, double x, double top)
    {
        var y = top + 26;
        // What is at ground stands with that end below.
        var turned = part.Nodes[0] == Network.Ground;
        var (above, below) = turned ? (part.Nodes[1], part.Nodes[0]) : (part.Nodes[0], part.Nodes[1]);
        var shapes = part switch
        {
            Resistor => Symbols.Resistor(x, y),
            Capacitor => Symbols.Capacitor(x, y),
            Diode => Symbols.Diode(x, y, !turned),
            _ => Symbols.Source(x, y, !turned),
        };
        pen.Part(part, shapes, (above, x, y), (below, x, y + Symbols.Length));
        pen.Lines(SchematicPen.Words(part), x + 18, y + Symbols.Length / 2, TextSide.Start);
        Up(pen, above, x, y);
        Down(pen, below, x, y + Symbols.Length);
    }

    private static void Up(SchematicPen pen, string node, double x, double y)
    {
        pen.Wire((x, y), (x, y - Lead));
        pen.Flag(node, x, y - Lead);
        if (node != Network.Ground) pen.Text(node, x, y - Lead - 7, TextSide.Middle);
    }

    private static void Down(SchematicPen pen, string node, double x, double y)
    {
        pen.Wire((x, y), (x, y + Lead));
        pen.Flag(node, x, y + Lead);
        if (node != Network.Ground) pen.Text(node, x, y + Lead + Name + 4, TextSide.Middle);
    }

    private static void Side(SchematicPen pen, string node, double x, double y, int way)
    {
        pen.Wire((x, y), (x + way * Lead, y));
        pen.Flag(node, x + way * Lead, y);
        if (node != Network.Ground) pen.Text(node, x + way * (Lead + 6), y + 4, way < 0 ? TextSide.End : TextSide.Start);
    }
}
