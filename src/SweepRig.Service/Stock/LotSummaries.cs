using SweepRig.Analysis;
using SweepRig.Analysis.Grading;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Stock;

/// <summary>How the quantities of a lot are spread, and which tubes stand apart. Pure.</summary>
public static class LotSummaries
{
    /// <summary>Looked at where nobody names a quantity.</summary>
    public const string Usual = "pentode.switching-drive,pentode.vol,pentode.cut-off-drive";

    public static LotSummaryView Of(LotReading reading, IReadOnlyList<NamedQuantity> quantities) =>
        new(reading.Lot, reading.Tubes.Count, [.. quantities.Select(q => One(q, reading.Figures))], [.. Comparability.Remarks(reading.Figures, quantities.Select(q => q.Word))]);

    /// <summary>The figures themselves, for plots.</summary>
    public static LotFiguresView Figures(LotReading reading, IReadOnlyList<NamedQuantity> quantities) => new(
        reading.Lot, [.. quantities.Select(View)],
        [
            .. reading.Tubes.Zip(reading.Figures, (tube, figures) => new TubeFiguresView(
                tube.Label, StockWords.Word(tube.State), tube.Grade, [.. quantities.Select(q => FigureOf(figures, q))])),
        ]);

    public static QuantityView View(NamedQuantity quantity) => new(quantity.Word, quantity.Unit, quantity.Meaning);

    /// <summary>The figure, or that it was not measured.</summary>
    public static Figure FigureOf(TubeFigures tube, NamedQuantity quantity) => tube.Figures.GetValueOrDefault(quantity.Word) ?? Figure.None(quantity.Unit, "not measured");

    private static QuantitySpreadView One(NamedQuantity quantity, IReadOnlyList<TubeFigures> tubes)
    {
        var all = tubes.Select(t => (t.Label, Figure: FigureOf(t, quantity))).ToArray();
        var measured = all.Where(t => t.Figure.Value is not null).ToArray();
        string[] without = [.. all.Where(t => t.Figure.Value is null).Select(t => t.Label)];
        if (measured.Length == 0) return new(View(quantity), 0, null, null, null, null, without);
        double[] values = [.. measured.Select(t => t.Figure.Value!.Value)];
        double[] uncertainties = [.. measured.Select(t => t.Figure.Uncertainty).OfType<double>().Order()];
        var spread = Spread.Of(values);
        var histogram = Histogram.Of(values);
        return new(
            View(quantity), measured.Length,
            new(spread.Lowest, spread.LowerQuartile, spread.Median, spread.UpperQuartile, spread.Highest, spread.Mean, spread.Deviation, spread.RobustDeviation),
            uncertainties.Length == 0 ? null : Spread.Quantile(uncertainties, 0.5),
            spread.Outliers is { } outliers ? [.. outliers.Select(o => new OutlierView(measured[o.Place].Label, values[o.Place], o.Score))] : null,
            new(histogram.Start, histogram.Width, [.. histogram.Counts]), without);
    }
}
