using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Spread, histogram and outliers of a lot, for a terminal.</summary>
public static class LotSummaryText
{
    private const int MostNamed = 8;

    public static IEnumerable<string> Lines(LotSummaryView summary, int width, Ink ink)
    {
        yield return ink.Strong($"{summary.Lot}: {summary.Tubes} tube{(summary.Tubes == 1 ? "" : "s")}");
        foreach (var quantity in summary.Quantities)
        {
            yield return "";
            foreach (var line in One(quantity, width, ink)) yield return line;
        }
        foreach (var remark in summary.Remarks)
        {
            yield return "";
            yield return remark;
        }
    }

    /// <summary>One dot a tube: the second quantity over the first.</summary>
    public static IEnumerable<string> Scatter(LotFiguresView figures, int width)
    {
        var (across, up) = (figures.Quantities[0], figures.Quantities[1]);
        var both = figures.Tubes.Where(t => t.Figures[0].Value is not null && t.Figures[1].Value is not null).Select(t => (t.Figures[0].Value, t.Figures[1].Value)).ToArray();
        return DotPlot.Lines(both, $"{up.Word}{Unit(up)} over {across.Word}{Unit(across)}", width);
    }

    private static IEnumerable<string> One(QuantitySpreadView view, int width, Ink ink)
    {
        var unit = view.Quantity.Unit;
        yield return ink.Strong($"{view.Quantity.Word}: {view.Quantity.Meaning}");
        if (view.Spread is not { } s)
        {
            yield return "  Measured of none of them.";
            yield break;
        }
        if (s.Lowest == s.Highest)
        {
            yield return $"  {view.Measured} value{(view.Measured == 1 ? "" : "s, all alike")}: {Value(s.Median, unit)}";
            if (view.NotMeasured.Length > 0) yield return $"  Without it: {Named(view.NotMeasured)}.";
            yield break;
        }
        yield return $"  median {Value(s.Median, unit)}, half of them from {Value(s.LowerQuartile, unit)} to {Value(s.UpperQuartile, unit)}, all from {Value(s.Lowest, unit)} to {Value(s.Highest, unit)}";
        if (s.Deviation is { } deviation)
        {
            yield return $"  standard deviation {Value(deviation, unit)} ({Value(s.RobustDeviation!.Value, unit)} by the median distance from the median){(view.UsualUncertainty is { } u ? $"; a single figure is known to ± {Value(2 * u, unit)}" : "")}";
        }
        foreach (var line in HistogramText.Lines(view.Histogram!, unit, width)) yield return $"  {line}";
        yield return view.Outliers switch
        {
            null => "  Too few values, or too many alike, to call one an outlier.",
            [] => "  No outliers.",
            _ => $"  Outliers: {Named(view.Outliers.Select(o => $"{o.Tube} ({Value(o.Value, unit)}, score {o.Score.ToString("0.0", CultureInfo.InvariantCulture)})"))}. Score: distance from the median over the median distance, times 0.6745; beyond 3.5 (Iglewicz and Hoaglin).",
        };
        if (view.NotMeasured.Length > 0) yield return $"  Without it: {Named(view.NotMeasured)}.";
    }

    private static string Named(IEnumerable<string> names)
    {
        string[] all = [.. names];
        return all.Length <= MostNamed ? string.Join(", ", all) : $"{string.Join(", ", all.Take(MostNamed))} and {all.Length - MostNamed} more";
    }

    private static string Unit(QuantityView quantity) => quantity.Unit == "1" ? "" : $" / {quantity.Unit}";

    private static string Value(double value, string unit) => Engineering.Figure(value, unit, 3);
}
