using System.Net.Mime;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Service.Reports;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>Reports of runs, made when they are asked for.</summary>
public static class ReportEndpoints
{
    private const string Together = " Runs named by with, of the same tube, are fitted together with it. With calibration: as for the curves.";

    public static void MapReports(this IEndpointRouteBuilder api)
    {
        var runs = api.MapGroup("/runs").WithTags("Runs");
        runs.MapGet("/{id}/report.html", HtmlAsync).WithName("getReportHtml").MayNotExist().RefusesInput()
            .Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Html).WithSummary("A report of a run as one HTML file that needs no other: levels, fit, prediction for another plate resistor or rail, health." + Together);
        runs.MapGet("/{id}/report.pdf", PdfAsync).WithName("getReportPdf").MayNotExist().RefusesInput()
            .Produces<byte[]>(StatusCodes.Status200OK, MediaTypeNames.Application.Pdf).WithSummary("The same report as PDF, on a4 or letter paper." + Together);
    }

    private static async Task<Results<ContentHttpResult, JsonHttpResult<ProblemView>>> HtmlAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        [FromQuery(Name = "with")] string[]? others = null, string? calibration = null, double? plateResistorOhms = null, double? plateRailVolts = null)
    {
        var (made, problem) = await MakeAsync(store, calibrations, workbench, id, new(others ?? [], calibration, plateResistorOhms, plateRailVolts), cancellationToken);
        return made is null ? problem! : TypedResults.Content(HtmlReport.Write(made.Report), "text/html; charset=utf-8");
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> PdfAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, CancellationToken cancellationToken,
        [FromQuery(Name = "with")] string[]? others = null, string? calibration = null, double? plateResistorOhms = null, double? plateRailVolts = null, string? paper = null)
    {
        if (Paper.Find(paper) is not { } sheet) return Problems.Refused([UnknownPaper(paper)]);
        var (made, problem) = await MakeAsync(store, calibrations, workbench, id, new(others ?? [], calibration, plateResistorOhms, plateRailVolts), cancellationToken);
        return made is null ? problem! : TypedResults.File(PdfReport.Write(made.Report, sheet), MediaTypeNames.Application.Pdf, made.Run.FileName("pdf"));
    }

    internal static Refusal UnknownPaper(string? paper) => new(
        "paper-unknown", "/paper", $"paper \"{paper}\"", $"allowed are {string.Join(" and ", Paper.All.Select(p => p.Name))}", "Ask for one of these, or leave it out for a4.");

    private static async Task<(MadeReport? Made, JsonHttpResult<ProblemView>? Problem)> MakeAsync(
        RunStore store, CalibrationStore calibrations, Workbench workbench, string id, ReportAsked asked, CancellationToken cancellationToken)
    {
        if (await store.FindAsync(id, cancellationToken) is not { } record) return (null, RunEndpoints.NoSuchRun(id));
        var made = await WholeReport.OfAsync(store, calibrations, workbench, record, asked, cancellationToken);
        return made.IsAccepted ? (made.Value, null) : (null, Problems.Refused(made.Refusals));
    }
}
