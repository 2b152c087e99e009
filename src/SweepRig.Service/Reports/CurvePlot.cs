using ScottPlot;

namespace SweepRig.Service.Reports;

/// <summary>
/// Draws a figure: black on white, colours of Okabe and Ito (2008) with a marker each, the name at the curve's end instead of a legend. Curves have no dashes of their own: SVG
/// drawings cannot have them.
/// </summary>
internal static class CurvePlot
{
    private const float LabelSize = 13, TickSize = 12, LineWidth = 1.8f;
    private const int MarkersACurve = 9, DashesAcross = 45;
    private const float LeftOfAxes = 60, RightOfAxes = 16;
    private const string LineColour = "#555555";

    // Their yellow is left out: it does not show on white.
    private static readonly string[] Colours = ["#000000", "#0072B2", "#D55E00", "#009E73", "#CC79A7", "#56B4E9", "#E69F00"];
    private static readonly MarkerShape[] Markers =
        [MarkerShape.FilledCircle, MarkerShape.OpenSquare, MarkerShape.FilledTriangleUp, MarkerShape.OpenDiamond, MarkerShape.FilledSquare, MarkerShape.OpenCircle, MarkerShape.FilledDiamond];

    // Polygons: hundreds of circles make a large file.
    private static readonly MarkerShape[] DotMarkers = [MarkerShape.FilledSquare, MarkerShape.OpenSquare, MarkerShape.FilledTriangleUp, MarkerShape.OpenDiamond, MarkerShape.FilledDiamond, MarkerShape.OpenTriangleUp];

    /// <param name="width">That it will be drawn with, in the unit of the font sizes; names at the ends get room.</param>
    /// <param name="height">That it will be drawn with, in the unit of the font sizes; names at the ends are kept a line apart.</param>
    public static Plot Draw(ReportFigure figure, float width, float height)
    {
        // By its own words: a label in another script on the sheet does not make its figures carry a whole typeface.
        var family = ReportFont.FamilyFor([figure.Horizontal, figure.Vertical, .. figure.Curves.Select(c => c.Label), .. figure.Lines.Select(l => l.Label), .. figure.Limits.Select(l => l.Label)]);
        var plot = new Plot();
        var xs = figure.Curves.SelectMany(c => c.X).Concat(figure.Bars.SelectMany(b => (double[])[b.From, b.To])).Concat(figure.Limits.Select(l => l.X)).Where(double.IsFinite).DefaultIfEmpty(0).ToArray();
        var ys = figure.Curves.SelectMany(c => c.Y.Concat(Band(c, -1)).Concat(Band(c, 1))).Concat(figure.Lines.Select(l => l.Y)).Concat(figure.Bars.Select(b => b.Height)).Where(double.IsFinite).DefaultIfEmpty(0).ToArray();
        double left = xs.Min(), right = xs.Max(), bottom = figure.IsCloud ? ys.Min() : Math.Min(0, ys.Min()), top = ys.Max();
        var rise = Math.Max(top - bottom, 1e-9);
        // Names of limits stand above what they limit.
        if (figure.Limits.Count > 0) top += 0.2 * rise;
        BarPlot.Add(plot, figure, left, right, bottom, top, family);
        foreach (var line in figure.Lines) Add(plot, line, left, right);
        for (var i = 0; i < figure.Curves.Count; i++) Add(plot, figure.Curves[i], i);
        foreach (var (name, colour, x, y) in Ends(figure, right, rise * 1.25 * LabelSize / (0.8 * height))) Name(plot, name, colour, x, y, family);
        plot.Axes.SetLimits(left - 0.01 * (right - left), right + Room(figure, width) * Math.Max(right - left, 1e-9), bottom - 0.02 * rise, top + 0.05 * rise);
        Style(plot, figure, family);
        return plot;
    }

    // Share of the span of the curves that the longest name needs beside it; a letter is some 0.65 of its size wide.
    private static double Room(ReportFigure figure, float width)
    {
        var name = 12 + 0.65 * LabelSize * figure.Curves.Select(c => c.Label.Length).Concat(figure.Lines.Select(l => l.Label.Length)).DefaultIfEmpty(0).Max();
        return Math.Clamp(name / (width - LeftOfAxes - RightOfAxes - name), 0.02, 0.6);
    }

    private static IEnumerable<double> Band(ReportCurve curve, int side) => curve.HalfWidth is { } half ? curve.Y.Select((y, i) => y + side * half[i]) : [];

    private static void Add(Plot plot, ReportLine line, double left, double right)
    {
        var parts = line.Y == 0 ? 1 : 2 * DashesAcross - 1;
        for (var i = 0; i < parts; i += 2)
        {
            double[] x = [left + i * (right - left) / parts, left + (i + 1) * (right - left) / parts];
            plot.Add.ScatterLine(x, [line.Y, line.Y], Color.FromHex(LineColour)).LineWidth = LineWidth / 2;
        }
    }

    private static void Add(Plot plot, ReportCurve curve, int index)
    {
        var colour = Color.FromHex(Colours[index % Colours.Length]);
        if (curve.IsDots)
        {
            plot.Add.Markers(curve.X, curve.Y, DotMarkers[index % DotMarkers.Length], 3.5f, colour);
            return;
        }
        if (curve.HalfWidth is not null)
        {
            var band = plot.Add.FillY(curve.X, [.. Band(curve, -1)], [.. Band(curve, 1)]);
            // A tint and no transparency: it prints as it shows.
            band.FillColor = colour.MixedWith(Colors.White, 0.75);
            band.LineWidth = 0;
            band.MarkerSize = 0;
        }
        foreach (var (x, y) in Stretches(curve))
        {
            var line = plot.Add.ScatterLine(x, y, colour);
            line.LineWidth = LineWidth;
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

    private static (string Name, string Colour, double X, double Y)[] Ends(ReportFigure figure, double right, double apart)
    {
        var ends = figure.Curves
            .Select((c, i) => (Name: c.Label, Colour: Colours[i % Colours.Length], At: Array.FindLastIndex(c.Y, double.IsFinite), Curve: c))
            .Where(e => e.At >= 0)
            .Select(e => (e.Name, e.Colour, X: e.Curve.X[e.At], Y: e.Curve.Y[e.At]))
            .Concat(figure.Lines.Where(l => l.Label.Length > 0).Select(l => (Name: l.Label, Colour: LineColour, X: right, l.Y)))
            .OrderBy(e => e.Y)
            .ToArray();
        for (var i = 1; i < ends.Length; i++) ends[i].Y = Math.Max(ends[i].Y, ends[i - 1].Y + apart);
        return ends;
    }

    private static void Name(Plot plot, string label, string colour, double x, double y, string family)
    {
        var text = plot.Add.Text(label, x, y);
        text.LabelFontColor = Color.FromHex(colour);
        text.LabelFontSize = LabelSize;
        text.LabelFontName = family;
        text.LabelAlignment = Alignment.MiddleLeft;
        text.OffsetX = 6;
    }

    private static void Style(Plot plot, ReportFigure figure, string family)
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
        plot.Layout.Fixed(new PixelPadding(LeftOfAxes, RightOfAxes, 48, 12));
        plot.Font.Set(family);
    }
}
