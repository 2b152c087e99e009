using System.Net.Mime;
using System.Text;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;
using SweepRig.Service.Reports;
using SweepRig.Service.Reports.Labels;
using SweepRig.Service.Stock.Csv;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>What leaves the stock for a printer or a table: sheets of labels, and lots with their history as CSV.</summary>
public static class StockPaperEndpoints
{
    public static void MapStockPaper(this IEndpointRouteBuilder api)
    {
        api.MapGet("/labels.pdf", LabelsAsync).WithTags("Stock").WithName("getLabels").RefusesInput().Produces<byte[]>(StatusCodes.Status200OK, MediaTypeNames.Application.Pdf)
            .WithSummary("A sheet of labels for a lot, or for tubes that are named: a QR code that holds the plain number, the number, and the type. To be printed at 100 %. Lengths in millimetres; what is left out is made to fit. skip counts labels of the first sheet that are used up.");
        api.MapGet("/stock.csv", CsvAsync).WithTags("Stock").WithName("getStockCsv").RefusesInput().Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Csv)
            .WithSummary("Lots and tubes with their whole history as CSV (RFC 4180), a line for each change; one lot, or all.");
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> LabelsAsync(
        StockStore stock, CancellationToken cancellationToken, string? lot = null, [FromQuery(Name = "tube")] string[]? numbers = null, string? paper = null, int skip = 0,
        int? columns = null, int? rows = null, double? width = null, double? height = null, double? left = null, double? top = null, double across = 0, double down = 0)
    {
        var faults = new List<Refusal>();
        if (Paper.Find(paper) is not { } sheet)
            return Problems.Refused([new("paper-unknown", "/paper", $"paper \"{paper}\"", $"allowed are {string.Join(" and ", Paper.All.Select(p => p.Name))}", "Ask for one of these, or leave it out for a4.")]);
        var grid = LabelGrid.Of(sheet, columns, rows, Both(width, height, "/width", faults), Both(left, top, "/left", faults), (across, down));
        faults.AddRange(grid.Faults());
        if (faults.Count == 0 && (skip < 0 || skip >= grid.PerSheet))
            faults.Add(new("skip-past-the-sheet", "/skip", $"{skip} labels are used up", $"0 to {grid.PerSheet - 1} can be", "Count those that are gone, row by row."));
        var tubes = new List<StockTube>();
        if (lot is not null) tubes.AddRange((await stock.TubesAsync(lot, cancellationToken)).Where(t => t.State != TubeState.Retired));
        foreach (var number in numbers ?? [])
        {
            if (await stock.FindAsync(StockEndpoints.Number(number), cancellationToken) is { } tube) tubes.Add(tube);
            else faults.Add(StockStore.Unknown(StockEndpoints.Number(number)) with { Path = "/tube" });
        }
        if (tubes.Count == 0 && faults.Count == 0)
            faults.Add(new("label-of-nothing", "/lot", lot is null ? "neither a lot nor a tube" : $"labels for {lot}", "a lot with tubes, or numbers of tubes, are needed", "Name one that GET /api/lots lists."));
        return faults.Count > 0
            ? Problems.Refused(faults)
            : TypedResults.File(LabelSheet.Write([.. tubes.Select(t => new TubeLabel(t.Label, t.TypeName ?? ""))], grid, skip), MediaTypeNames.Application.Pdf, "labels.pdf");
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> CsvAsync(StockStore stock, CancellationToken cancellationToken, string? lot = null)
    {
        var tubes = await stock.TubesAsync(lot, cancellationToken);
        if (tubes.Count == 0)
            return Problems.Refused([new("nothing-to-export", "/lot", lot is null ? "the stock is to be written" : $"lot {lot} is to be written", "the stock has no tubes like that", "Name one that GET /api/lots lists.")]);
        Lot[] lots = [.. (await stock.LotsAsync(cancellationToken)).Select(l => l.Lot)];
        using var csv = new MemoryStream();
        // Without a byte order mark: RFC 4180 knows none.
        await using (var writer = new StreamWriter(csv, new UTF8Encoding(false), leaveOpen: true)) StockCsv.Write(writer, lots, tubes);
        return TypedResults.File(csv.ToArray(), "text/csv; charset=utf-8", lot is null ? "stock.csv" : "lot.csv");
    }

    private static (double, double)? Both(double? first, double? second, string path, List<Refusal> faults)
    {
        if (first is { } a && second is { } b) return (a, b);
        if (first is not null || second is not null) faults.Add(new("half-a-measure", path, "one of two lengths", "both are needed", "Give both, or neither."));
        return null;
    }
}
