using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Drawing;

/// <summary>Draws a network of gates: stages beside each other in rows, one line a signal, what has the same name is joined.</summary>
public static class GateSchematic
{
    /// <summary>Tubes beside each other that stay legible on a sheet of paper.</summary>
    public const int UsualTubesARow = 4;

    /// <param name="tube">For each place of <see cref="GateNetwork.Positions"/>.</param>
    /// <param name="types">Tells which types have no screen; those that the project knows when null.</param>
    /// <param name="tubesARow">A stage is never parted, even if it alone has more. At least 1.</param>
    public static Schematic Of(GateNetwork network, Func<string, TubePart> tube, TypeCatalogue? types = null, int tubesARow = UsualTubesARow) =>
        Sheets(network, tube, types, tubesARow, int.MaxValue)[0];

    /// <summary>The same on several sheets, none with more than so many rows; each source is drawn on the first sheet that needs it.</summary>
    /// <param name="rowsASheet">At least 1.</param>
    public static IReadOnlyList<Schematic> Sheets(GateNetwork network, Func<string, TubePart> tube, TypeCatalogue? types, int tubesARow, int rowsASheet)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(tube);
        ArgumentOutOfRangeException.ThrowIfLessThan(tubesARow, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(rowsASheet, 1);
        var wired = GateWiring.Wire(network, tube, [.. network.Inputs.Select(_ => Waveform.Steady(0))]);
        var parts = wired.Parts.ToDictionary(p => p.Name, StringComparer.Ordinal);
        var firsts = wired.Parts.OfType<Source>().ToDictionary(s => s.Plus, StringComparer.Ordinal);
        string[] signals = [.. network.Inputs, .. network.Gates.Select(g => g.Output)];
        var steers = SteerWiring.Labels(network).ToLookup(s => s.Steer.Target, StringComparer.Ordinal);
        var ledTo = wired.Parts.OfType<Diode>().Select(d => d.Anode).ToHashSet(StringComparer.Ordinal);
        var left = 30 + Math.Ceiling(Math.Max(TextWidth.Of("screen rail", SchematicPen.LabelSize, true), signals.Max(s => TextWidth.Of(s, SchematicPen.NameSize, true)) + 14));
        var sheets = Rows(network, tubesARow).Chunk(rowsASheet).ToList();
        return [.. sheets.Select((rows, at) => Sheet(rows, $"Schematic of {network.Name}{(sheets.Count == 1 ? "" : $", sheet {at + 1} of {sheets.Count}")}"))];

        Schematic Sheet(List<Gate>[] rows, string title)
        {
            var (pen, top) = (new SchematicPen(), 0.0);
            foreach (var gates in rows) top = Row(pen, top, gates);
            return pen.Finish(title, Describe(network with { Gates = [.. rows.SelectMany(r => r)] }));
        }

        double Row(SchematicPen pen, double top, List<Gate> gates)
        {
            var row = new GateRow(pen, new(top, GateWiring.TakesScreenRail(network) && network.Rails.Screen is not null), parts, left);
            var (stage, steering) = (new StageDrawing(row, types ?? TypeCatalogue.BuiltIn, ledTo), new SteerDrawing(row));
            var x = left + 50;
            foreach (var gate in gates)
            {
                x = stage.Draw(gate, x);
                foreach (var (steer, label) in steers[gate.Output]) x = steering.Draw(steer, label, x);
            }
            return row.Finish(signals, [.. network.Outputs], firsts) + 12;
        }
    }

    private static IEnumerable<List<Gate>> Rows(GateNetwork network, int tubesARow)
    {
        var row = new List<Gate>();
        foreach (var gate in network.Gates)
        {
            if (row.Count > 0 && row.Sum(Wide) + Wide(gate) > tubesARow)
            {
                yield return row;
                row = [];
            }
            row.Add(gate);
        }
        if (row.Count > 0) yield return row;

        // The way of an edge takes half the room of a tube with its divider.
        double Wide(Gate gate) => gate.TubeCount + 0.5 * network.Steers.Count(s => s.Target == gate.Output);
    }

    private static string Describe(GateNetwork network) =>
        $"{network.Gates.Count} {(network.Gates.Count == 1 ? "stage" : "stages")} with {network.Positions.Count} {(network.Positions.Count == 1 ? "tube" : "tubes")} between a plate rail of {SchematicPen.Volts(network.Rails.Plate)} and a bias rail of {SchematicPen.Volts(network.Rails.Bias)}. "
        + string.Join(' ', network.Gates.Select(g => $"{g.Output} is made from {string.Join(" and ", g.Inputs)} by {g.Positions.Count()} {(g.TubeCount == 1 ? "tube" : "tubes")}{(g.Kind == GateKind.Follower ? " as a follower" : "")}."))
        + string.Concat(network.Steers.Where(s => network.Gates.Any(g => g.Output == s.Target)).Select(s => $" A falling edge of {s.Trigger} is led to {s.Target}{(s.Level is { } level ? $" while {level} is low" : "")}."))
        + $" Out go {string.Join(" and ", network.Outputs)}.";
}
