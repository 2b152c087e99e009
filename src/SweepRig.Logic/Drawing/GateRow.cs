using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Drawing;

/// <summary>Heights in a row of stages: rails above, ground and bias below, then a line for each signal.</summary>
internal sealed record RowHeights(double Top, bool HasScreenRail)
{
    public double Rail => Top + 14;

    public double ScreenRail => HasScreenRail ? Rail + 20 : Rail;

    /// <summary>Where the plates of a stage are joined.</summary>
    public double Plate => ScreenRail + 72;

    /// <summary>Middle of the tubes.</summary>
    public double Tube => Plate + Symbols.TubeRise + 10;

    public double Grid => Tube + Symbols.GridDrop;

    public double Screen => Tube + Symbols.ScreenDrop;

    public double Cathode => Tube + Symbols.TubeRise;

    public double Bias => Cathode + 78;

    public double Track(int number) => Bias + 24 + 17 * number;
}

/// <summary>A row of stages under way: where the leads come down that its rails and signals have to reach.</summary>
internal sealed class GateRow(SchematicPen pen, RowHeights heights, IReadOnlyDictionary<string, Part> parts, double left)
{
    private readonly Dictionary<string, List<(double X, double Y)>> _taps = new(StringComparer.Ordinal);

    public SchematicPen Pen => pen;

    public RowHeights At => heights;

    public Part Part(string name) => parts[name];

    public bool Has(string name) => parts.ContainsKey(name);

    /// <summary>A lead of a signal or rail that is to reach its line.</summary>
    public void Tap(string node, double x, double y)
    {
        if (!_taps.TryGetValue(node, out var taps)) _taps[node] = taps = [];
        taps.Add((x, y));
    }

    /// <summary>Draws rails and signals once all stages stand.</summary>
    /// <param name="signals">In the order of their lines.</param>
    /// <param name="outputs">Signals that go on to the right.</param>
    /// <param name="firsts">Sources not drawn in an earlier row, by node; those drawn here are taken out.</param>
    /// <returns>Height of the row's foot.</returns>
    public double Finish(IReadOnlyList<string> signals, IReadOnlyCollection<string> outputs, Dictionary<string, Source> firsts)
    {
        var right = _taps.Values.SelectMany(t => t).Max(t => t.X) + 14;
        Rail(GateWiring.PlateRail, "plate rail", heights.Rail, firsts);
        if (heights.HasScreenRail) Rail(GateWiring.ScreenRail, "screen rail", heights.ScreenRail, firsts);
        Rail(GateWiring.BiasRail, "bias rail", heights.Bias, firsts);
        var track = 0;
        foreach (var signal in signals.Where(_taps.ContainsKey)) Track(signal, heights.Track(track++), right, outputs.Contains(signal), firsts);
        return heights.Track(track);
    }

    private void Rail(string node, string name, double y, Dictionary<string, Source> firsts)
    {
        if (!_taps.TryGetValue(node, out var taps)) return;
        Line(y, taps.Max(t => t.X), taps);
        pen.Flag(node, left, y);
        pen.Text(name, left - 8, y + 4, TextSide.End, bold: true);
        if (firsts.Remove(node, out var source)) pen.Part(source, [], (node, left, y));
        pen.Text(SchematicPen.Volts(((Source)parts[SourceOf(node)]).Volts.At(0)), left + 6, y - 4, TextSide.Start);
    }

    private string SourceOf(string node) => parts.Values.OfType<Source>().First(s => s.Plus == node).Name;

    private void Track(string signal, double y, double right, bool goesOn, Dictionary<string, Source> firsts)
    {
        var taps = _taps[signal];
        Line(y, goesOn ? right : taps.Max(t => t.X), taps);
        pen.Flag(signal, left, y);
        pen.Text(signal, left - 8, y + 4, TextSide.End, SchematicPen.NameSize, bold: true);
        if (firsts.Remove(signal, out var source))
        {
            var word = TextWidth.Of(signal, SchematicPen.NameSize, true);
            pen.Part(source, [new DrawnPath([new(left - 19 - word, y - 4), new(left - 13 - word, y), new(left - 19 - word, y + 4)])], (signal, left, y));
        }
        if (!goesOn) return;
        pen.Flag(signal, right, y);
        pen.Text(signal, right + 7, y + 4, TextSide.Start, SchematicPen.NameSize, bold: true);
    }

    private void Line(double y, double right, List<(double X, double Y)> taps)
    {
        pen.Wire((left, y), (right, y));
        foreach (var (x, from) in taps) pen.Wire((x, from), (x, y));
    }
}
