using System.Globalization;
using SweepRig.Domain.Stock;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Reports.Stock;

/// <summary>What a report of a lot says: what it is, how it falls, how its tubes spread, which belong together.</summary>
public static class LotReport
{
    /// <summary>Pure: the same lot gives the same report.</summary>
    /// <param name="sheet">The lot.</param>
    /// <param name="cancellationToken">Ends the search for pairs.</param>
    public static Report Of(LotSheet sheet, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        var quantities = LotQuantities.Of(sheet);
        return new(
            $"Lot {sheet.Lot.Name}",
            $"{sheet.Lot.TypeName ?? "mixed types"}, {Count(sheet.Tubes.Count, "tube")}{(sheet.Lot.Origin is { } origin ? $", {origin}" : "")}",
            [
                About(sheet),
                LotYieldSection.Of(sheet),
                .. LotSpreads.Of(sheet, quantities),
                LotPairs.Of(sheet, quantities, cancellationToken),
                LotTubes.Of(sheet, quantities),
                LotProvenance.Of(sheet),
            ],
            $"SweepRig {BenchServices.SoftwareVersion} · lot {sheet.Lot.Name} · {RunText.Time(sheet.MadeUtc)} · {Count(sheet.Runs.Count, "run")} · {LotProvenance.Calibrations(sheet)}");
    }

    internal static string Count(int count, string what) => string.Create(CultureInfo.InvariantCulture, $"{count} {what}{(count == 1 ? "" : "s")}");

    private static ReportSection About(LotSheet sheet)
    {
        var lot = sheet.Lot;
        List<string[]> rows =
        [
            ["type", lot.TypeName ?? "mixed: " + string.Join(", ", sheet.Tubes.GroupBy(t => t.Tube.TypeName ?? "not identified").OrderByDescending(g => g.Count()).Select(g => $"{g.Count()} {g.Key}"))],
            ["tubes", sheet.Tubes.Count == 0 ? "none" : $"{sheet.Tubes.Count}, {sheet.Tubes[0].Tube.Label} to {sheet.Tubes[^1].Tube.Label}"],
            ["booked in", RunText.Day(lot.BookedUtc)],
        ];
        foreach (var (name, text) in new[] { ("origin", lot.Origin), ("price", lot.Price), ("note", lot.Note) })
            if (text is not null) rows.Add([name, text]);
        rows.Add(["state", string.Join(", ", Enum.GetValues<TubeState>().Select(s => (s, n: sheet.Tubes.Count(t => t.Tube.State == s))).Where(s => s.n > 0).Select(s => $"{s.n} {StockWords.Word(s.s)}"))]);
        var measured = sheet.Tubes.Count(t => t.Figures.Runs.Count > 0);
        rows.Add(["measured", $"{measured} of {sheet.Tubes.Count}, each by its newest complete sweep in each connection"]);
        return new("What the lot is", [], [new("", [], rows)], []) { Lead = LotProvenance.Warnings(sheet) };
    }
}
