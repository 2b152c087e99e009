using ScottPlot;

namespace SweepRig.Service.Reports;

/// <summary>Draws a figure: black on white, colours of Okabe and Ito (2008) with a dash and a marker each, the name at the curve's end instead of a legend.</summary>
internal static class CurvePlot
{
    private const float LabelSize = 13, TickSize = 12, LineWidth = 1.8f;
    private const int MarkersACurve = 9;

    // Their yellow is left out: it does not show on white.
    private static readonly string[] Colours = ["#000000", "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00"];
    private static readonly LinePattern[] Dashes = [LinePattern.Solid, LinePattern.Dashed, LinePattern.DenselyDashed, LinePattern.Dotted];
    private static readonly MarkerShape[] Markers =
        [MarkerShape.FilledCircle, MarkerShape.OpenSquare, MarkerShape.FilledTriangleUp, MarkerShape.OpenDiamond, MarkerShape.FilledSquare, MarkerShape.OpenCircle, MarkerShape.FilledDiamond];

    /// <param name="height">That it will be drawn with, in the unit of the font sizes; names at the ends are kept a line apart.</param>
    public static Plot Draw(ReportFigure figure, float height)
    {
        var plot = new Plot();
        var xs = figure.Curves.SelectMany(c => c.X).Where(double.IsFinite).DefaultIfEmpty(0).ToArray();
        var ys = figure.Curves.SelectMany(c => c.Y).Where(double.IsFinite).DefaultIfEmpty(0).ToArray();
        double left = xs.Min(), right = xs.Max(), bottom = Math.Min(0, ys.Min()), top = ys.Max();
        var rise = Math.Max(top - bottom, 1e-9);
        for (var i = 0; i < figure.Curves.Count; i++) Add(plot, figure.Curves[i], i);
        foreach (var (index, x, y) in Ends(figure, rise * 1.25 * LabelSize / (0.8 * height))) Name(plot, figure.Curves[index].Label, index, x, y);
        plot.Axes.SetLimits(left - 0.01 * (right - left), right + 0.16 * Math.Max(right - left, 1e-9), bottom - 0.02 * rise, top + 0.05 * rise);
        Style(plot, figure);
        return plot;
    }

    private static void Add(Plot plot, ReportCurve curve, int index)
    {
        var colour = Color.FromHex(Colours[index % Colours.Length]);
        foreach (var (x, y) in Stretches(curve))
        {
            var line = plot.Add.ScatterLine(x, y, colour);
            line.LineWidth = LineWidth;
            line.LinePattern = Dashes[index % Dashes.Length];
        }
        var usable = Enumerable.Range(0, curve.X.Length).Where(i => double.IsFinite(curve.X[i]) && double.IsFinite(curve.Y[i])).ToArray();
        // Each curve's markers lie elsewhere, so that curves that coincide can still be told apart.
        var step = Math.Max(1, usable.Length / MarkersACurve);
        var marked = usable.Where((_, n) => n % step == index * step / 4 % step).ToArray();
        if (marked.Length > 0) plot.Add.Markers(Array.ConvertAll(marked, i => curve.X[i]), Array.ConvertAll(marked, i => curve.Y[i]), Markers[index % Markers.Length], 7, colour);
    }

    // Nothing is joined over missing points.
    private static IEnumerable<(double[] X, double[] Y)> Stretches(ReportCurve curve)
    {
        var from = 0;
        for (var i = 0; i <= curve.X.Length; i++)
        {
            if (i < curve.X.Length && double.IsFinite(curve.X[i]) && double.IsFinite(curve.Y[i])) continue;
            if (i > from) yield return (curve.X[from..i], curve.Y[from..i]);
            from = i + 1;
        }
    }

    private static (int Index, double X, double Y)[] Ends(ReportFigure figure, double apart)
    {
        var ends = figure.Curves
            .Select((c, i) => (Index: i, At: Array.FindLastIndex(c.Y, double.IsFinite), Curve: c))
            .Where(e => e.At >= 0)
            .Select(e => (e.Index, X: e.Curve.X[e.At], Y: e.Curve.Y[e.At]))
            .OrderBy(e => e.Y)
            .ToArray();
        for (var i = 1; i < ends.Length; i++) ends[i].Y = Math.Max(ends[i].Y, ends[i - 1].Y + apart);
        return ends;
    }

    private static void Name(Plot plot, string label, int index, double x, double y)
    {
        var text = plot.Add.Text(label, x, y);
        text.LabelFontColor = Color.FromHex(Colours[index % Colours.Length]);
        text.LabelFontSize = LabelSize;
        text.LabelFontName = ReportFont.Family;
        text.LabelAlignment = Alignment.MiddleLeft;
        text.OffsetX = 6;
    }

    private static void Style(Plot plot, ReportFigure figure)
    {
        plot.FigureBackground.Color = Colors.White;
        plot.DataBackground.Color = Colors.White;
        plot.Grid.MajorLineColor = Color.FromHex("#D8D8D8");
        plot.Axes.Color(Colors.Black);
        plot.XLabel(figure.Horizontal, LabelSize);
        plot.YLabel(figure.Vertical, LabelSize);
        plot.Axes.Bottom.TickLabelStyle.FontSize = TickSize;
        plot.Axes.Left.TickLabelStyle.FontSize = TickSize;
        foreach (var axis in (IAxis[])[plot.Axes.Bottom, plot.Axes.Left])
            if (axis.TickGenerator is ScottPlot.TickGenerators.NumericAutomatic ticks) ticks.TickDensity = 0.6;
        plot.Axes.Right.IsVisible = false;
        plot.Axes.Top.IsVisible = false;
        // Room for half of the outermost numbers.
        plot.Layout.Fixed(new PixelPadding(60, 16, 48, 12));
        plot.Font.Set(ReportFont.Family);
    }
}
