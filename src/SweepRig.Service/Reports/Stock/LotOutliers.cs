using System.Globalization;
using SweepRig.Analysis.Grading;
using SweepRig.Service.Cli.Rendering;

namespace SweepRig.Service.Reports.Stock;

/// <summary>Tubes of a lot that stand apart from the rest.</summary>
internal static class LotOutliers
{
    private const int MostShown = 30;

    public static ReportSection Of(IReadOnlyList<LotQuantity> quantities)
    {
        var judged = quantities.Select(q => (Quantity: q, Spread.Of(q.Values).Outliers)).ToArray();
        string[][] rows = [.. judged.SelectMany(j => (j.Outliers ?? []).Select(o => (string[])
        [
            j.Quantity.Figures[o.Place].Tube.Tube.Label, j.Quantity.Word, FigureText.Of(j.Quantity.Told(j.Quantity.Figures[o.Place].Figure)) + " " + j.Quantity.Unit,
            o.Score.ToString("+0.0;-0.0", CultureInfo.InvariantCulture),
        ]))];
        var open = judged.Where(j => j.Outliers is null).Select(j => j.Quantity.Word).ToArray();
        List<string> notes = [string.Create(CultureInfo.InvariantCulture, $"A tube stands apart when its modified Z score, 0.6745 times its distance from the median over the median of all such distances, is beyond {Spread.OutlierScore} either way (Iglewicz and Hoaglin 1993; NIST/SEMATECH e-Handbook, 1.3.5.17).")];
        if (rows.Length > MostShown) notes.Insert(0, $"{rows.Length - MostShown} more are not shown here.");
        if (open.Length > 0) notes.Insert(0, $"Not judged, as too few tubes are measured or too many are alike: {string.Join(", ", open)}.");
        if (rows.Length == 0 && open.Length < judged.Length) notes.Insert(0, "No tube stands apart.");
        return new("Outliers", [], rows.Length == 0 ? [] : [new("", ["tube", "quantity", "value", "score"], rows[..Math.Min(MostShown, rows.Length)])], notes);
    }
}
