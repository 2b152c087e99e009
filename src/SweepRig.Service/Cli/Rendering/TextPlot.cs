using System.Text;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Lines over an axis, drawn with Braille dots. A missing point breaks the line.</summary>
public static class TextPlot
{
    private const int TicksDown = 6, TicksAcross = 7;

    /// <summary>Output against drive.</summary>
    /// <param name="curves">Drawn over each other.</param>
    /// <param name="width">Columns in all, axis included.</param>
    /// <returns>The lines; one that says so when there is nothing to draw.</returns>
    public static IReadOnlyList<string> Lines(IReadOnlyList<CurveView> curves, int width) =>
        Lines([.. curves.Select(c => (c.Drive, c.Plate))], "output / V over drive / V", width);

    /// <param name="curves">Drawn over each other, each with as many values across as up.</param>
    /// <param name="title">Both quantities with their units.</param>
    /// <param name="width">Columns in all, axis included.</param>
    public static IReadOnlyList<string> Lines(IReadOnlyList<(double?[] Across, double?[] Up)> curves, string title, int width)
    {
        if (!curves.Any(c => c.Across.Zip(c.Up).Any(p => p.First is not null && p.Second is not null))) return ["No points to draw."];
        var across = Axis.Over(curves.SelectMany(c => c.Across), TicksAcross, roundEnds: false);
        var up = Axis.Over(curves.SelectMany(c => c.Up).Append(0), TicksDown, roundEnds: true);
        var margin = up.Ticks.Max(t => up.Text(t).Length);
        var intervals = up.Ticks.Count - 1;
        // One row more than a multiple of the intervals: then each tick falls into the middle of what its label names.
        var canvas = new BrailleCanvas(width - margin - 2, (intervals > 4 ? 2 : 3) * intervals + 1);
        foreach (var curve in curves) Draw(curve, across, up, canvas);

        var ticks = up.Ticks.ToLookup(t => DotOf(up, t, canvas) / 4);
        var lines = new List<string> { title };
        for (var row = 0; row < canvas.Rows; row++)
        {
            var label = ticks[row].Any() ? up.Text(ticks[row].First()) : "";
            lines.Add($"{label.PadLeft(margin)} {(label.Length > 0 ? '┤' : '│')}{canvas.Row(row)}".TrimEnd());
        }
        lines.AddRange(Foot(across, margin, canvas));
        return lines;
    }

    private static int DotOf(Axis up, double value, BrailleCanvas canvas) => canvas.DotsDown - 1 - up.Place(value, canvas.DotsDown - 1);

    private static void Draw((double?[] Across, double?[] Up) curve, Axis across, Axis up, BrailleCanvas canvas)
    {
        (int X, int Y)? before = null;
        for (var i = 0; i < curve.Across.Length; i++)
        {
            if (curve.Across[i] is not { } x || curve.Up[i] is not { } y)
            {
                before = null;
                continue;
            }
            var here = (X: across.Place(x, canvas.DotsAcross - 1), Y: DotOf(up, y, canvas));
            var from = before ?? here;
            canvas.Line(from.X, from.Y, here.X, here.Y);
            before = here;
        }
    }

    private static IEnumerable<string> Foot(Axis across, int margin, BrailleCanvas canvas)
    {
        var line = new StringBuilder(new string('─', canvas.Columns));
        var labels = new StringBuilder(new string(' ', canvas.Columns));
        var free = 0;
        foreach (var tick in across.Ticks)
        {
            var at = across.Place(tick, canvas.Columns - 1);
            line[at] = '┬';
            var text = across.Text(tick);
            var start = Math.Clamp(at - (text.Length - 1) / 2, 0, canvas.Columns - text.Length);
            if (start < free) continue;
            for (var i = 0; i < text.Length; i++) labels[start + i] = text[i];
            free = start + text.Length + 1;
        }
        var indent = new string(' ', margin + 1);
        yield return $"{indent}└{line}";
        yield return $"{indent} {labels.ToString().TrimEnd()}";
    }
}
