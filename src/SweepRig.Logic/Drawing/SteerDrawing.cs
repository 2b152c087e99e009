using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Drawing;

/// <summary>Draws the way of an edge into a row: a capacitor from the trigger, a resistor to the level that decides, and a diode to the node that the edge is led to, which is named.</summary>
internal sealed class SteerDrawing(GateRow row)
{
    private const double Lead = 12, Gap = 10, BesidePlates = 16;

    private SchematicPen Pen => row.Pen;

    /// <param name="x">Where it begins.</param>
    /// <returns>Where the next may begin.</returns>
    public double Draw(Steer steer, string label, double x)
    {
        var (capacitor, resistor, diode) = (row.Part($"Ct_{label}"), row.Part($"Rt_{label}"), (Diode)row.Part($"Dt_{label}"));
        // Clear of the name that stands beside the output of the stage.
        var at = x + Math.Ceiling(Math.Max(14, TextWidth.Of(diode.Anode, SchematicPen.LabelSize, false) / 2) + TextWidth.Of(steer.Target, SchematicPen.NameSize, true));
        var (y, top) = (row.At.Grid, row.At.Grid - Symbols.Length);
        Pen.Part(diode, Symbols.Diode(at, top, anodeAbove: true), (diode.Anode, at, top), (diode.Cathode, at, y));
        Pen.Wire((at, top), (at, top - Lead));
        Pen.Flag(diode.Anode, at, top - Lead);
        Pen.Text(diode.Anode, at, top - Lead - 7, TextSide.Middle);
        Pen.Lines(SchematicPen.Words(diode), at + BesidePlates, top + Symbols.Length / 2, TextSide.Start);
        Pen.Part(capacitor, Symbols.Capacitor(at, y), (diode.Cathode, at, y), (steer.Trigger, at, y + Symbols.Length));
        Pen.Lines(SchematicPen.Words(capacitor), at + BesidePlates, y + Symbols.Length / 2, TextSide.Start);
        row.Tap(steer.Trigger, at, y + Symbols.Length);

        var beside = Math.Ceiling(at + BesidePlates + Math.Max(SchematicPen.Wide(SchematicPen.Words(diode)), SchematicPen.Wide(SchematicPen.Words(capacitor))) + 14);
        Pen.Wire((at, y), (beside, y));
        // A level comes from below as all signals do; the rail, at which the diode itself compares, from above.
        var (level, from) = (steer.Level ?? GateWiring.PlateRail, steer.Level is null ? top : y);
        var far = steer.Level is null ? top : y + Symbols.Length;
        Pen.Part(resistor, Symbols.Resistor(beside, from), (level, beside, far), (diode.Cathode, beside, y));
        Pen.Lines(SchematicPen.Words(resistor), beside + Gap, from + Symbols.Length / 2, TextSide.Start);
        row.Tap(level, beside, far);
        return Math.Ceiling(beside + Gap + SchematicPen.Wide(SchematicPen.Words(resistor)) + 16);
    }
}
