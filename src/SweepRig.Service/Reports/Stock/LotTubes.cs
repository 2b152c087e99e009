using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Reports.Stock;

/// <summary>Every tube of a lot in a line.</summary>
internal static class LotTubes
{
    private const int MostQuantities = 3, LongestPlace = 26;

    public static ReportSection Of(LotSheet sheet, IReadOnlyList<LotQuantity> quantities)
    {
        var shown = quantities.Take(MostQuantities).ToArray();
        string[] leading = sheet.Lot.TypeName is null ? ["tube", "type", "state", "grade", "where"] : ["tube", "state", "grade", "where"];
        return new("Tubes", [],
        [
            new("", [.. leading, .. shown.Select(q => q.Heading)], [.. sheet.Tubes.Select(t => (string[])
            [
                t.Tube.Label,
                .. sheet.Lot.TypeName is null ? [t.Tube.TypeName ?? "?"] : (string[])[],
                StockWords.Word(t.Tube.State), t.Tube.Grade ?? "", Where(t.Tube),
                .. shown.Select(q => t.Figures.Figures.GetValueOrDefault(q.Word) is { Value: not null } figure ? FigureText.Of(q.Told(figure)) : ""),
            ])]) { Words = leading.Length },
        ], []);
    }

    private static string Where(StockTube tube)
    {
        var place = tube.InUseAt ?? tube.Location ?? "";
        return place.Length <= LongestPlace ? place : place[..(LongestPlace - 1)].TrimEnd() + "…";
    }
}
