using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Drawing;

/// <summary>Draws one stage into a row, its divider to the left of each tube, plate and screen resistors above, the output going down at its right.</summary>
/// <param name="row">To draw into.</param>
/// <param name="types">Tells which types have no screen.</param>
/// <param name="ledTo">Nodes that edges are led to: named where they are the middle of a divider.</param>
internal sealed class StageDrawing(GateRow row, TypeCatalogue types, IReadOnlySet<string> ledTo)
{
    private const double Gap = 10, BesideScreen = 48, AfterTube = 62;

    private SchematicPen Pen => row.Pen;

    private RowHeights At => row.At;

    /// <param name="x">Where it begins.</param>
    /// <returns>Where the next may begin.</returns>
    public double Draw(Gate gate, double x) => gate.Kind switch
    {
        GateKind.Nor => Nor(gate, x),
        GateKind.Follower => Follower(gate, x),
        GateKind.NandAtScreen => AtScreen(gate, x),
        _ => AtGrid(gate, x),
    };

    private double Nor(Gate gate, double x)
    {
        double first = 0, right = x;
        for (var n = 1; n <= gate.Inputs.Count; n++)
        {
            var middle = Divider($"{gate.Output}_{n}", [gate.Inputs[n - 1]], n == 1 ? x : right);
            right = Tube($"V_{gate.Output}_{n}", $"Rs_{gate.Output}_{n}", middle);
            if (n == 1) first = PlateResistor(gate, middle);
            else Pen.Wire((middle, At.Tube - Symbols.TubeRise), (middle, At.Plate));
        }
        return Output(gate, first, right);
    }

    private double AtGrid(Gate gate, double x)
    {
        var middle = Divider(gate.Output, gate.Inputs, x);
        var right = Tube($"V_{gate.Output}_1", $"Rs_{gate.Output}_1", middle);
        return Output(gate, PlateResistor(gate, middle), right);
    }

    private double AtScreen(Gate gate, double x)
    {
        var middle = Divider(gate.Output, [gate.Inputs[0]], x);
        var part = Symbol($"V_{gate.Output}_1", middle);
        Grounded(middle);
        Pen.Lines(SchematicPen.Words(part), middle + Gap, At.Rail + 34, TextSide.Start);
        var screen = row.Part($"Rs_{gate.Output}");
        double at = middle + BesideScreen + 4, top = At.Screen + 12;
        Pen.Wire((middle + Symbols.TubeReach, At.Screen), (at, At.Screen), (at, top));
        Upright(screen, at, top, TextSide.Start, below: true);
        row.Tap(gate.Inputs[1], at, top + Symbols.Length);
        return Output(gate, PlateResistor(gate, middle), at + Gap + SchematicPen.Wide(SchematicPen.Words(screen)) + Gap);
    }

    private double Follower(Gate gate, double x)
    {
        row.Tap(gate.Inputs[0], x, At.Grid);
        var middle = Stopper(row.Part($"Rg_{gate.Output}"), x);
        var part = Symbol($"V_{gate.Output}_1", middle);
        Pen.Lines(SchematicPen.Words(part), middle + Gap, At.Rail + 34, TextSide.Start);
        Pen.Wire((middle, At.Tube - Symbols.TubeRise), (middle, At.Plate));
        row.Tap(GateWiring.PlateRail, middle, At.Plate);
        if (HasScreen(part)) Pen.Wire((middle + Symbols.TubeReach, At.Screen), (middle + 46, At.Screen), (middle + 46, At.Plate), (middle, At.Plate));
        var cathode = row.Part($"Rk_{gate.Output}");
        var top = At.Cathode + 10;
        Pen.Wire((middle, At.Cathode), (middle, top));
        Upright(cathode, middle, top, TextSide.Start);
        row.Tap(GateWiring.BiasRail, middle, top + Symbols.Length);
        var right = middle + Math.Max(AfterTube, Gap + SchematicPen.Wide(SchematicPen.Words(cathode)) + Gap);
        Pen.Wire((middle, top), (right, top));
        row.Tap(gate.Output, right, top);
        Pen.Text(gate.Output, middle + Gap, top - 4, TextSide.Start, SchematicPen.NameSize, bold: true);
        return right + 16;
    }

    /// <returns>The middle of the tube that it feeds.</returns>
    private double Divider(string label, IReadOnlyList<string> inputs, double x)
    {
        double start = x, bottom = At.Grid + Symbols.Length;
        for (var n = 0; n < inputs.Count; n++)
        {
            var name = inputs.Count == 1 ? label : $"{label}_{n + 1}";
            if (row.Has($"Ca_{name}"))
            {
                var capacitor = row.Part($"Ca_{name}");
                Pen.Part(capacitor, Symbols.Capacitor(x + 6, At.Grid), (capacitor.Nodes[1], x + 6, At.Grid), (inputs[n], x + 6, bottom));
                Pen.Lines(SchematicPen.Words(capacitor), x + 20, At.Grid + Symbols.Length / 2, TextSide.Start);
                var next = x + 20 + SchematicPen.Wide(SchematicPen.Words(capacitor)) + 14;
                Pen.Wire((x + 6, bottom), (next, bottom));
                if (n == 0) start = x + 6;
                x = next;
            }
            var upper = row.Part($"Ra_{name}");
            Upright(upper, x, At.Grid, TextSide.Start, below: true);
            row.Tap(inputs[n], x, bottom);
            x = Beside(upper, x);
        }
        var lower = row.Part($"Rb_{label}");
        Upright(lower, x, At.Grid, TextSide.Start);
        row.Tap(GateWiring.BiasRail, x, bottom);
        Pen.Wire((start, At.Grid), (x, At.Grid));
        if (lower.Nodes[0] is var middle && ledTo.Contains(middle))
        {
            Pen.Flag(middle, start, At.Grid);
            Pen.Text(middle, start, At.Grid - 6, TextSide.Start);
        }
        return Stopper(row.Part($"Rg_{label}"), x);
    }

    private double Stopper(Part stopper, double x)
    {
        var words = SchematicPen.Words(stopper);
        var length = Math.Ceiling(Math.Max(54, SchematicPen.Wide(words) + 6));
        Pen.Part(stopper, Symbols.LevelResistor(x, At.Grid, length), (stopper.Nodes[0], x, At.Grid), (stopper.Nodes[1], x + length, At.Grid));
        Pen.Lines(words, x + length / 2, At.Grid - 18, TextSide.Middle);
        return x + length + Symbols.TubeReach;
    }

    /// <returns>Where the next tube of the stage may begin.</returns>
    private double Tube(string position, string screenResistor, double middle)
    {
        var part = Symbol(position, middle);
        Grounded(middle);
        var words = SchematicPen.Words(part);
        Pen.Lines(words, middle + 14, At.Cathode + 16, TextSide.Start);
        if (part.IsTriode)
        {
            if (HasScreen(part)) Pen.Wire((middle + Symbols.TubeReach, At.Screen), (middle + 46, At.Screen), (middle + 46, At.Plate));
        }
        else
        {
            var at = middle + BesideScreen;
            Upright(row.Part(screenResistor), at, At.ScreenRail + 4, TextSide.Start);
            row.Tap(At.HasScreenRail ? GateWiring.ScreenRail : GateWiring.PlateRail, at, At.ScreenRail + 4);
            Pen.Wire((at, At.ScreenRail + 4 + Symbols.Length), (at, At.Screen), (middle + Symbols.TubeReach, At.Screen));
        }
        return middle + Math.Max(AfterTube, 14 + SchematicPen.Wide(words) + Gap);
    }

    private TubePart Symbol(string position, double middle)
    {
        var part = (TubePart)row.Part(position);
        List<(string, double, double)> pins =
        [
            (part.Grid, middle - Symbols.TubeReach, At.Grid), (part.Plate, middle, At.Tube - Symbols.TubeRise), (part.Cathode, middle, At.Cathode),
        ];
        var screened = HasScreen(part);
        if (screened) pins.Add((part.Screen, middle + Symbols.TubeReach, At.Screen));
        Pen.Part(part, Symbols.Tube(middle, At.Tube, screened), [.. pins]);
        return part;
    }

    private bool HasScreen(TubePart part) => !TriodeTypes.Is(part, types);

    private void Grounded(double middle)
    {
        Pen.Wire((middle, At.Cathode), (middle, At.Cathode + 10));
        Pen.Flag(Network.Ground, middle, At.Cathode + 10);
    }

    private double PlateResistor(Gate gate, double middle)
    {
        Upright(row.Part($"Rp_{gate.Output}"), middle, At.Rail + 4, TextSide.End);
        row.Tap(GateWiring.PlateRail, middle, At.Rail + 4);
        Pen.Wire((middle, At.Rail + 4 + Symbols.Length), (middle, At.Tube - Symbols.TubeRise));
        return middle;
    }

    private double Output(Gate gate, double first, double right)
    {
        Pen.Wire((first, At.Plate), (right, At.Plate));
        row.Tap(gate.Output, right, At.Plate);
        Pen.Text(gate.Output, right + 5, At.Plate + 14, TextSide.Start, SchematicPen.NameSize, bold: true);
        return right + 16;
    }

    /// <param name="below">Its first node is at the lower end.</param>
    private void Upright(Part part, double x, double y, TextSide side, bool below = false)
    {
        Pen.Part(part, Symbols.Resistor(x, y), (part.Nodes[below ? 1 : 0], x, y), (part.Nodes[below ? 0 : 1], x, y + Symbols.Length));
        Pen.Lines(SchematicPen.Words(part), side == TextSide.End ? x - Gap : x + Gap, y + Symbols.Length / 2, side);
    }

    private static double Beside(Part part, double x) => Math.Ceiling(x + Gap + SchematicPen.Wide(SchematicPen.Words(part)) + Gap);
}
