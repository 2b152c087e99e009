namespace SweepRig.Service.Cli.Rendering;

/// <summary>Single points over an axis, each a small cross of Braille dots.</summary>
public static class DotPlot
{
    private const int TicksDown = 5, TicksAcross = 7;

    /// <param name="points">Across and up; those without a value are left out.</param>
    /// <param name="title">Both quantities with their units.</param>
    /// <param name="width">Columns in all, axis included.</param>
    public static IReadOnlyList<string> Lines(IReadOnlyList<(double? Across, double? Up)> points, string title, int width)
    {
        if (!points.Any(p => p is { Across: not null, Up: not null })) return ["No points to draw."];
        var frame = PlotFrame.Of(points.Select(p => p.Across), points.Select(p => p.Up), TicksAcross, TicksDown, width);
        foreach (var (across, up) in points)
        {
            if (across is not { } a || up is not { } u) continue;
            var (x, y) = (frame.X(a), frame.Y(u));
            frame.Canvas.Line(x - 1, y, x + 1, y);
            frame.Canvas.Line(x, y - 1, x, y + 1);
        }
        return frame.Lines(title);
    }
}
