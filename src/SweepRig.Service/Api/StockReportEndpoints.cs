using System.Net.Mime;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Analysis.Grading;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Reports;
using SweepRig.Service.Reports.Stock;
using SweepRig.Service.Stock;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Api;

/// <summary>Reports of lots and sheets of tubes, made when they are asked for.</summary>
public static class StockReportEndpoints
{
    private const string ByGrades = " With grades, a list of grades as a document in the query, the lot is shown under these; else under those that its tubes were given.";

    public static void MapStockReports(this IEndpointRouteBuilder api)
    {
        var lots = api.MapGroup("/lots").WithTags("Stock");
        lots.MapGet("/{name}/report.html", LotHtmlAsync).WithName("getLotReportHtml").MayNotExist().RefusesInput()
            .Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Html).WithSummary("A report of a lot as one HTML file that needs no other: yield, spread, pairs, every tube." + ByGrades);
        lots.MapGet("/{name}/report.pdf", LotPdfAsync).WithName("getLotReportPdf").MayNotExist().RefusesInput()
            .Produces<byte[]>(StatusCodes.Status200OK, MediaTypeNames.Application.Pdf).WithSummary("The same report as PDF, on a4 or letter paper." + ByGrades);
        var tubes = api.MapGroup("/tubes").WithTags("Stock");
        tubes.MapGet("/{label}/report.html", TubeHtmlAsync).WithName("getTubeReportHtml").MayNotExist()
            .Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Html).WithSummary("The sheet of a tube as one HTML file that needs no other: history, newest curves and levels, health.");
        tubes.MapGet("/{label}/report.pdf", TubePdfAsync).WithName("getTubeReportPdf").MayNotExist().RefusesInput()
            .Produces<byte[]>(StatusCodes.Status200OK, MediaTypeNames.Application.Pdf).WithSummary("The same sheet as PDF, on a4 or letter paper.");
    }

    private static async Task<Results<ContentHttpResult, JsonHttpResult<ProblemView>>> LotHtmlAsync(
        RunStore runs, StockStore stock, FigureShelf shelf, TimeProvider time, Workbench workbench, string name, CancellationToken cancellationToken, string? grades = null)
    {
        var (report, problem) = await LotAsync(runs, stock, shelf, time, workbench, name, grades, cancellationToken);
        return report is null ? problem! : TypedResults.Content(HtmlReport.Write(report), "text/html; charset=utf-8");
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> LotPdfAsync(
        RunStore runs, StockStore stock, FigureShelf shelf, TimeProvider time, Workbench workbench, string name, CancellationToken cancellationToken, string? grades = null, string? paper = null)
    {
        if (Paper.Find(paper) is not { } sheet) return UnknownPaper(paper);
        var (report, problem) = await LotAsync(runs, stock, shelf, time, workbench, name, grades, cancellationToken);
        return report is null ? problem! : Pdf(report, sheet, $"lot-{name}");
    }

    private static async Task<Results<ContentHttpResult, JsonHttpResult<ProblemView>>> TubeHtmlAsync(
        RunStore runs, CalibrationStore calibrations, StockStore stock, TypeCatalogue types, FigureShelf shelf, TimeProvider time, string label, CancellationToken cancellationToken)
    {
        var tube = await TubeSheet.ReadAsync(runs, calibrations, stock, types, shelf, StockEndpoints.Number(label), time.GetUtcNow(), cancellationToken);
        return tube.IsAccepted ? TypedResults.Content(HtmlReport.Write(TubeReport.Of(tube.Value)), "text/html; charset=utf-8") : StockEndpoints.NoSuchTube(label);
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> TubePdfAsync(
        RunStore runs, CalibrationStore calibrations, StockStore stock, TypeCatalogue types, FigureShelf shelf, TimeProvider time, string label, CancellationToken cancellationToken, string? paper = null)
    {
        if (Paper.Find(paper) is not { } sheet) return UnknownPaper(paper);
        var tube = await TubeSheet.ReadAsync(runs, calibrations, stock, types, shelf, StockEndpoints.Number(label), time.GetUtcNow(), cancellationToken);
        return tube.IsAccepted ? Pdf(TubeReport.Of(tube.Value), sheet, tube.Value.Label) : StockEndpoints.NoSuchTube(label);
    }

    private static async Task<(Report? Report, JsonHttpResult<ProblemView>? Problem)> LotAsync(
        RunStore runs, StockStore stock, FigureShelf shelf, TimeProvider time, Workbench workbench, string name, string? grades, CancellationToken cancellationToken)
    {
        GradeScheme? scheme = null;
        if (grades is not null)
        {
            var read = GradeDocument.Parse(grades, StockQuantities.WithSections);
            if (!read.IsAccepted) return (null, Problems.Refused([.. read.Refusals.Select(r => r with { Path = "/grades" + r.Path })]));
            scheme = read.Value;
        }
        var sheet = await LotSheet.ReadAsync(runs, stock, shelf, name, scheme, time.GetUtcNow(), null, cancellationToken);
        if (!sheet.IsAccepted) return (null, Problems.NotFound($"lot {name}", "See /api/lots, or book it in."));
        return (await workbench.RunAsync(() => LotReport.Of(sheet.Value, cancellationToken), cancellationToken), null);
    }

    private static FileContentHttpResult Pdf(Report report, Paper paper, string name) =>
        TypedResults.File(PdfReport.Write(report, paper), MediaTypeNames.Application.Pdf, string.Concat(name.Select(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' ? c : '_')) + ".pdf");

    private static JsonHttpResult<ProblemView> UnknownPaper(string? paper) => Problems.Refused([ReportEndpoints.UnknownPaper(paper)]);
}
