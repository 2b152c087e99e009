using SweepRig.Analysis.Grading;

namespace SweepRig.Service.Reports.Stock;

/// <summary>Tubes counted over a quantity, with the limits of grades and their guard bands.</summary>
internal static class LotHistogram
{
    public static ReportFigure Of(LotSheet sheet, LotQuantity quantity)
    {
        var values = quantity.Values;
        var histogram = Histogram.Of(values);
        var limits = Limits(sheet, quantity);
        var far = limits.Where(l => IsFar(l, values)).Select(l => l.Label).ToArray();
        var beyond = far.Length == 0 ? "" : $"; beyond the figure: {string.Join(", ", far)}";
        return new($"{quantity.Word}, {LotReport.Count(values.Length, "tube")}{beyond}", quantity.Axis, "tubes", [])
        {
            IsSmall = true,
            Bars = [.. histogram.Counts.Select((n, i) => new ReportBar(histogram.Start + i * histogram.Width, histogram.Start + (i + 1) * histogram.Width, n)).Where(b => b.Height > 0)],
            Limits = [.. limits.Where(l => !IsFar(l, values))],
        };
    }

    /// <summary>So far from all tubes that they would shrink to a heap if it were drawn.</summary>
    public static bool IsFar(ReportLimit limit, double[] values)
    {
        var reach = 1.5 * (values.Max() - values.Min());
        return limit.X < values.Min() - reach || limit.X > values.Max() + reach;
    }

    /// <summary>Limits of all grades on a quantity, in the unit that it is told in.</summary>
    public static IReadOnlyList<ReportLimit> Limits(LotSheet sheet, LotQuantity quantity)
    {
        if (sheet.Scheme is not { } scheme) return [];
        // The guard band is each tube's own; what is drawn is that of a typical one.
        var expanded = quantity.Figures.Select(f => f.Figure.ExpandedUncertainty / quantity.Factor).OfType<double>().Order().ToArray();
        var guard = expanded.Length == 0 ? 0 : scheme.Guard * expanded[expanded.Length / 2];
        return
        [
            .. scheme.Grades.SelectMany(g => g.Limits.Where(l => l.Quantity == quantity.Word).SelectMany(l => (ReportLimit[])
            [
                .. l.Lowest is { } low ? [new(low / quantity.Factor, $"{g.Name} from {LotYieldSection.Text(low, l)}", guard)] : (ReportLimit[])[],
                .. l.Highest is { } high ? [new(high / quantity.Factor, $"{g.Name} to {LotYieldSection.Text(high, l)}", -guard)] : (ReportLimit[])[],
            ])),
        ];
    }
}
