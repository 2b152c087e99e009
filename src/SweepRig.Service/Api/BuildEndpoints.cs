using System.Net.Mime;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Logic.Drawing;
using SweepRig.Service.Contract;
using SweepRig.Service.Logic;
using SweepRig.Service.Reports;

namespace SweepRig.Service.Api;

/// <summary>What goes to the bench with a gate of named tubes: schematic, parts, and the sheets to build and check it by. Worked out when asked; nothing is stored.</summary>
public static class BuildEndpoints
{
    public static void MapBuilds(this IEndpointRouteBuilder logic)
    {
        logic.MapPost("/schematic", SchematicAsync).WithName("getSchematic").RefusesInput().Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Image.Svg)
            .WithSummary("The schematic of a gate with its tubes, as SVG in the colour of the text around it. Drawn without being solved.");
        logic.MapPost("/parts", PartsAsync).WithName("getParts").RefusesInput()
            .WithSummary("The parts of a gate with its tubes: numbers, values, what each bears at worst and which rating to buy, and what the supplies give.");
        logic.MapPost("/test-voltages", VoltagesAsync).WithName("getTestVoltages").RefusesInput()
            .WithSummary("What a meter is to show at every node of a gate with its tubes, in every row, and within what a sound build may differ.");
        logic.MapPost("/build-check", (LogicDesk desk, LogicProgress progress, BuildCheckRequest request, CancellationToken c, string? work = null) => progress.FollowAsync(work, p => JudgeAsync(desk, request, p, c)))
            .WithName("checkBuild").RefusesInput().WithSummary("Holds what a meter showed at a build against what it should and against every single fault: what explains the readings, where to look, and what to read next.");
        logic.MapPost("/report.html", HtmlAsync).WithName("getBuildHtml").RefusesInput().Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Html)
            .WithSummary("What goes to the bench with a gate, as one page that needs no other: cautions, parts, schematic, steps, and what a meter is to show at every node.");
        logic.MapPost("/report.pdf", PdfAsync).WithName("getBuildPdf").RefusesInput().Produces<byte[]>(StatusCodes.Status200OK, MediaTypeNames.Application.Pdf)
            .WithSummary("The same for the printer, on a4 or letter.");
    }

    private static async Task<Results<ContentHttpResult, JsonHttpResult<ProblemView>>> SchematicAsync(LogicDesk desk, GateRequest request, CancellationToken cancellationToken)
    {
        var drawing = await desk.Builds.DrawAsync(request, null, null, cancellationToken);
        return drawing.IsAccepted ? TypedResults.Content(SvgWriter.Write(drawing.Value), "image/svg+xml; charset=utf-8") : Problems.Refused(drawing.Refusals);
    }

    private static async Task<Results<Ok<PartsView>, JsonHttpResult<ProblemView>>> PartsAsync(LogicDesk desk, BuildRequest request, CancellationToken cancellationToken)
    {
        var build = await desk.Builds.PlanAsync(request, null, null, cancellationToken);
        return build.IsAccepted ? TypedResults.Ok(build.Value.Parts()) : Problems.Refused(build.Refusals);
    }

    private static async Task<Results<Ok<TestVoltagesView>, JsonHttpResult<ProblemView>>> VoltagesAsync(LogicDesk desk, BuildRequest request, CancellationToken cancellationToken)
    {
        var voltages = await desk.Builds.VoltagesAsync(request, cancellationToken);
        return voltages.IsAccepted ? TypedResults.Ok(voltages.Value) : Problems.Refused(voltages.Refusals);
    }

    private static async Task<Results<Ok<BuildVerdictView>, JsonHttpResult<ProblemView>>> JudgeAsync(LogicDesk desk, BuildCheckRequest request, Action<LogicWorkView>? progress, CancellationToken cancellationToken)
    {
        var verdict = await desk.Builds.JudgeAsync(request, progress, cancellationToken);
        return verdict.IsAccepted ? TypedResults.Ok(verdict.Value) : Problems.Refused(verdict.Refusals);
    }

    private static async Task<Results<ContentHttpResult, JsonHttpResult<ProblemView>>> HtmlAsync(LogicDesk desk, TimeProvider time, BuildRequest request, CancellationToken cancellationToken)
    {
        var build = await desk.Builds.PlanAsync(request, null, null, cancellationToken);
        return build.IsAccepted ? TypedResults.Content(HtmlReport.Write(build.Value.Report(time.GetUtcNow())), "text/html; charset=utf-8") : Problems.Refused(build.Refusals);
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> PdfAsync(
        LogicDesk desk, TimeProvider time, BuildRequest request, CancellationToken cancellationToken, string? paper = null)
    {
        var build = await desk.Builds.PlanAsync(request, null, null, cancellationToken);
        var sheet = Paper.Find(paper);
        List<Refusal> faults = [.. build.Refusals];
        if (sheet is null) faults.Add(ReportEndpoints.UnknownPaper(paper));
        return faults.Count > 0
            ? Problems.Refused(faults)
            : TypedResults.File(PdfReport.Write(build.Value!.Report(time.GetUtcNow()), sheet!), MediaTypeNames.Application.Pdf, $"build-{build.Value.Plan.Network.Name}.pdf");
    }
}
