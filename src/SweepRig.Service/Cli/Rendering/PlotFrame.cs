using System.Text;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Axes around a raster of Braille dots.</summary>
/// <param name="Across">Axis of the columns.</param>
/// <param name="Up">Axis of the rows.</param>
/// <param name="Canvas">To draw on.</param>
public sealed record PlotFrame(Axis Across, Axis Up, BrailleCanvas Canvas)
{
    /// <param name="across">Values that the axis is to hold.</param>
    /// <param name="up">The same upwards.</param>
    /// <param name="ticksAcross">Intervals wanted, about.</param>
    /// <param name="ticksUp">The same upwards.</param>
    /// <param name="width">Columns in all, axis included.</param>
    public static PlotFrame Of(IEnumerable<double?> across, IEnumerable<double?> up, int ticksAcross, int ticksUp, int width)
    {
        var upwards = Axis.Over(up, ticksUp, roundEnds: true);
        var intervals = upwards.Ticks.Count - 1;
        // One row more than a multiple of the intervals: then each tick falls into the middle of what its label names.
        return new(Axis.Over(across, ticksAcross, roundEnds: false), upwards, new(width - Margin(upwards) - 2, (intervals > 4 ? 2 : 3) * intervals + 1));
    }

    /// <summary>Dot of a value, from the left.</summary>
    public int X(double across) => Across.Place(across, Canvas.DotsAcross - 1);

    /// <summary>Dot of a value, from the top.</summary>
    public int Y(double up) => Canvas.DotsDown - 1 - Up.Place(up, Canvas.DotsDown - 1);

    /// <summary>A line across, every fourth dot of it.</summary>
    public void Dotted(double up)
    {
        for (var x = 0; x < Canvas.DotsAcross; x += 4) Canvas.Dot(x, Y(up));
    }

    /// <param name="title">Both quantities with their units.</param>
    public IReadOnlyList<string> Lines(string title)
    {
        var margin = Margin(Up);
        var ticks = Up.Ticks.ToLookup(t => Y(t) / 4);
        var lines = new List<string> { title };
        for (var row = 0; row < Canvas.Rows; row++)
        {
            var label = ticks[row].Any() ? Up.Text(ticks[row].First()) : "";
            lines.Add($"{label.PadLeft(margin)} {(label.Length > 0 ? '┤' : '│')}{Canvas.Row(row)}".TrimEnd());
        }
        lines.AddRange(Foot(margin));
        return lines;
    }

    private static int Margin(Axis up) => up.Ticks.Max(t => up.Text(t).Length);

    private IEnumerable<string> Foot(int margin)
    {
        var line = new StringBuilder(new string('─', Canvas.Columns));
        var labels = new StringBuilder(new string(' ', Canvas.Columns));
        var free = 0;
        foreach (var tick in Across.Ticks)
        {
            var at = Across.Place(tick, Canvas.Columns - 1);
            line[at] = '┬';
            var text = Across.Text(tick);
            var start = Math.Clamp(at - (text.Length - 1) / 2, 0, Canvas.Columns - text.Length);
            if (start < free) continue;
            for (var i = 0; i < text.Length; i++) labels[start + i] = text[i];
            free = start + text.Length + 1;
        }
        var indent = new string(' ', margin + 1);
        yield return $"{indent}└{line}";
        yield return $"{indent} {labels.ToString().TrimEnd()}";
    }
}
