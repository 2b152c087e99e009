using ScottPlot;

namespace SweepRig.Service.Reports;

/// <summary>Bars, and limits with their guard bands: what a histogram has beside curves.</summary>
internal static class BarPlot
{
    private const float LabelSize = 12;
    private const string Limit = "#D55E00", Band = "#F6D9C6", Bar = "#9CC3DE", Edge = "#0072B2";

    /// <summary>To be called before anything else is drawn: bands lie below.</summary>
    public static void Add(Plot plot, ReportFigure figure, double left, double right, double bottom, double top, string family)
    {
        foreach (var limit in figure.Limits.Where(l => l.Guard != 0))
        {
            var (from, to) = (Math.Min(limit.X, limit.X + limit.Guard), Math.Max(limit.X, limit.X + limit.Guard));
            Fill(plot, Math.Max(from, left), Math.Min(to, right), bottom, top, Band, Band);
        }
        foreach (var bar in figure.Bars.Where(b => b.Height > 0)) Fill(plot, bar.From, bar.To, 0, bar.Height, Bar, Edge);
        foreach (var limit in figure.Limits)
        {
            Upright(plot, limit.X, bottom, top, 1.8f);
            // The band lies below the bars; where it ends shows all the same.
            if (limit.Guard != 0 && limit.X + limit.Guard > left && limit.X + limit.Guard < right) Upright(plot, limit.X + limit.Guard, bottom, top, 0.6f);
            var text = plot.Add.Text(limit.Label, limit.X, top);
            text.LabelFontColor = Color.FromHex(Limit);
            text.LabelFontSize = LabelSize;
            text.LabelFontName = family;
            // On the side where there is room.
            var isRight = limit.X > (left + right) / 2;
            text.LabelAlignment = isRight ? Alignment.UpperRight : Alignment.UpperLeft;
            text.OffsetX = isRight ? -5 : 5;
        }
    }

    private static void Upright(Plot plot, double x, double bottom, double top, float width) =>
        plot.Add.ScatterLine((double[])[x, x], (double[])[bottom, top], Color.FromHex(Limit)).LineWidth = width;

    private static void Fill(Plot plot, double left, double right, double bottom, double top, string fill, string edge)
    {
        if (!(right > left)) return;
        var area = plot.Add.Rectangle(left, right, bottom, top);
        area.FillColor = Color.FromHex(fill);
        area.LineColor = Color.FromHex(edge);
        area.LineWidth = 1;
    }
}
