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
        var frame = PlotFrame.Of(curves.SelectMany(c => c.Across), curves.SelectMany(c => c.Up).Append(0), TicksAcross, TicksDown, width);
        foreach (var curve in curves) Draw(curve, frame);
        return frame.Lines(title);
    }

    private static void Draw((double?[] Across, double?[] Up) curve, PlotFrame frame)
    {
        (int X, int Y)? before = null;
        for (var i = 0; i < curve.Across.Length; i++)
        {
            if (curve.Across[i] is not { } x || curve.Up[i] is not { } y)
            {
                before = null;
                continue;
            }
            var here = (X: frame.X(x), Y: frame.Y(y));
            var from = before ?? here;
            frame.Canvas.Line(from.X, from.Y, here.X, here.Y);
            before = here;
        }
    }
}
