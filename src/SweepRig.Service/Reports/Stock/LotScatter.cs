namespace SweepRig.Service.Reports.Stock;

/// <summary>One quantity over another, a dot a tube.</summary>
internal static class LotScatter
{
    public static ReportFigure? Of(LotSheet sheet, LotQuantity across, LotQuantity up)
    {
        var both = across.Figures
            .Join(up.Figures, a => a.Tube.Tube.Label, b => b.Tube.Tube.Label, (a, b) => (a.Tube, X: a.Figure.Value!.Value / across.Factor, Y: b.Figure.Value!.Value / up.Factor))
            .OrderBy(p => p.X).ToArray();
        if (both.Length < 3) return null;
        var groups = both.GroupBy(p => p.Tube.Tube.Grade ?? "").OrderBy(g => g.Key.Length == 0).ThenBy(g => g.Key, StringComparer.Ordinal).ToArray();
        return new($"{up.Word} over {across.Word}, {LotReport.Count(both.Length, "tube")}{(groups.Length > 1 ? ", by the grade last given" : "")}", across.Axis, up.Axis,
            [.. groups.Select(g => new ReportCurve(groups.Length == 1 ? "" : g.Key.Length == 0 ? "no grade" : g.Key, [.. g.Select(p => p.X)], [.. g.Select(p => p.Y)]) { IsDots = true })])
        {
            IsCloud = true,
            Limits = [.. LotHistogram.Limits(sheet, across).Where(l => !LotHistogram.IsFar(l, across.Values))],
        };
    }
}
