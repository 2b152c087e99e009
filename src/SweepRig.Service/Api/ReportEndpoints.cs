using System.Net.Mime;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Service.Reports;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>Reports of runs, made when they are asked for.</summary>
public static class ReportEndpoints
{
    public static void MapReports(this IEndpointRouteBuilder api)
    {
        var runs = api.MapGroup("/runs").WithTags("Runs");
        runs.MapGet("/{id}/report.html", HtmlAsync).WithName("getReportHtml").MayNotExist().RefusesInput()
            .Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Html).WithSummary("A report of a run as one HTML file that needs no other. With calibration: as for the curves.");
        runs.MapGet("/{id}/report.pdf", PdfAsync).WithName("getReportPdf").MayNotExist().RefusesInput()
            .Produces<byte[]>(StatusCodes.Status200OK, MediaTypeNames.Application.Pdf).WithSummary("A report of a run as PDF, on a4 or letter paper. With calibration: as for the curves.");
    }

    private static async Task<Results<ContentHttpResult, JsonHttpResult<ProblemView>>> HtmlAsync(
        RunStore runs, CalibrationStore calibrations, string id, CancellationToken cancellationToken, string? calibration = null)
    {
        var (run, problem) = await RunEndpoints.ReadAsync(runs, calibrations, id, calibration, cancellationToken);
        return run is null ? problem! : TypedResults.Content(HtmlReport.Write(RunReport.Of(run)), "text/html; charset=utf-8");
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> PdfAsync(
        RunStore runs, CalibrationStore calibrations, string id, CancellationToken cancellationToken, string? calibration = null, string? paper = null)
    {
        if (Paper.Find(paper) is not { } sheet)
        {
            return Problems.Refused([new Refusal("paper-unknown", "/paper", $"paper \"{paper}\"",
                $"allowed are {string.Join(" and ", Paper.All.Select(p => p.Name))}", "Ask for one of these, or leave it out for a4.")]);
        }
        var (run, problem) = await RunEndpoints.ReadAsync(runs, calibrations, id, calibration, cancellationToken);
        return run is null ? problem! : TypedResults.File(PdfReport.Write(RunReport.Of(run), sheet), MediaTypeNames.Application.Pdf, run.FileName("pdf"));
    }
}
