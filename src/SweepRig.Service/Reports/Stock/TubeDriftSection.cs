using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Reports.Stock;

/// <summary>How a tube has changed from measurement to measurement.</summary>
internal static class TubeDriftSection
{
    public static ReportSection Of(IReadOnlyList<DriftView> drifts)
    {
        if (drifts.Count == 0)
            return new("Drift", [], [], ["Measured once in each connection at most: nothing can be said of a drift yet. Sweep the tube again in the same circuit, and ask for this sheet anew."]);
        return new("Drift", [.. drifts.Select(Figure)],
            [new("", ["quantity", "measured", "first", "newest", "change", "over its ±"], [.. drifts.Select(Row)])],
            [.. drifts.SelectMany(d => d.Says.Select(s => $"{d.Quantity.Word}: {s}")), "Dashed: centre and limits of single values, made from all measurements shown; the band about the values is their expanded uncertainty (95 %)."]);
    }

    private static string[] Row(DriftView drift)
    {
        var newest = drift.Points[^1];
        return
        [
            drift.Quantity.Word, $"{drift.Points.Length} times", FigureText.Scaled(drift.Points[0].Value), FigureText.Scaled(newest.Value),
            newest.Change is { } change ? FigureText.Scaled(change) : "", newest.OverUncertainty is { } over ? Math.Abs(over).ToString("0.0", CultureInfo.InvariantCulture) : "not known",
        ];
    }

    private static ReportFigure Figure(DriftView drift)
    {
        var unit = drift.Quantity.Unit;
        var (factor, prefix) = unit is "1" or "%" ? (1, "") : Engineering.PrefixFor(drift.Points.Max(p => Math.Abs(p.Value.Value!.Value)));
        var span = drift.Points[^1].StartedUtc - drift.Points[0].StartedUtc;
        var inHours = span < TimeSpan.FromDays(2);
        double[] places = [.. drift.Points.Select(p => p.StartedUtc - drift.Points[0].StartedUtc).Select(t => inHours ? t.TotalHours : t.TotalDays)];
        ReportCurve measured = new("measured", places, [.. drift.Points.Select(p => p.Value.Value!.Value / factor)])
        {
            HalfWidth = drift.Points.All(p => p.Value.ExpandedUncertainty is not null) ? [.. drift.Points.Select(p => p.Value.ExpandedUncertainty!.Value / factor)] : null,
        };
        ReportCurve[] averages = drift.Average is null ? [] : [new("average", places, [.. drift.Points.Select(p => (p.Average ?? double.NaN) / factor)])];
        return new($"{drift.Quantity.Word}, as measured, with its moving average", inHours ? "hours since the first" : "days since the first", unit == "1" ? drift.Quantity.Word : $"{drift.Quantity.Word.Split('.')[^1]} ({prefix}{unit})", [measured, .. averages])
        {
            IsCloud = true,
            Lines = drift.Individuals is { } chart ? [new(chart.Centre / factor, ""), new(chart.Upper / factor, ""), new(chart.Lower / factor, "")] : [],
        };
    }
}
