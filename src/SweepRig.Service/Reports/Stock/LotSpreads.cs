using System.Globalization;
using MathNet.Numerics.Statistics;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Reports.Stock;

/// <summary>How the tubes of a lot spread: in numbers, in histograms, and two quantities against each other.</summary>
internal static class LotSpreads
{
    public static IEnumerable<ReportSection> Of(LotSheet sheet, IReadOnlyList<LotQuantity> quantities)
    {
        if (quantities.Count == 0)
        {
            yield return new("Spread", [], [], ["No tube of this lot has been swept yet, so there is nothing to show: sweeprig sweep PLAN --tube NUMBER --type TYPE."]);
            yield break;
        }
        yield return new("Spread", [.. quantities.Where(q => q.Figures.Count > 1).Select(q => LotHistogram.Of(sheet, q))],
        [
            new("", ["quantity", "unit", "tubes", "lowest", "median", "highest", "std deviation", "typical ±"], [.. quantities.Select(Row)]),
        ],
        ["Typical ±: the median of the expanded uncertainties (95 %) of single tubes; what is smaller than it are differences that the measurement does not tell apart.",
            .. Comparability.Remarks([.. sheet.Alive.Select(t => t.Figures)], quantities.Select(q => q.Word)),
            .. sheet.Scheme is null ? [] : (string[])["Upright lines are limits of grades, tinted the guard bands in which nothing is accepted."]]);
        yield return LotOutliers.Of(quantities);
        if (quantities.Count > 1 && LotScatter.Of(sheet, quantities[0], quantities[1]) is { } scatter)
            yield return new("Two quantities", [scatter], [], []);
    }

    private static string[] Row(LotQuantity quantity)
    {
        var values = quantity.Values;
        var expanded = quantity.Figures.Select(f => f.Figure.ExpandedUncertainty / quantity.Factor).OfType<double>().ToArray();
        // As many digits as the spread or the uncertainty is worth, whichever is finer.
        var finest = new[] { values.Length > 1 ? values.StandardDeviation() : double.NaN, expanded.Length > 0 ? expanded.Median() : double.NaN }.Where(v => v > 0).DefaultIfEmpty(Math.Abs(values[0]) / 100).Min();
        var decimals = finest > 0 ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(finest)), 0, 6) : 2;
        string Text(double value) => value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return
        [
            quantity.Word, LevelsTable.Unit(quantity.Unit), values.Length.ToString(CultureInfo.InvariantCulture), Text(values.Min()), Text(values.Median()), Text(values.Max()),
            values.Length > 1 ? Text(values.StandardDeviation()) : "", expanded.Length > 0 ? Text(expanded.Median()) : "not known",
        ];
    }
}
