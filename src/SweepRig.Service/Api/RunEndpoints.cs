using System.Net.Mime;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Calibrations;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Storage;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Api;

/// <summary>Runs: starting one, and reading what is recorded, also of the one under way.</summary>
public static class RunEndpoints
{
    private const string ByCalibration = " Volts are derived with the calibration that the query names: an id of its rig, newest, nominal, or as-measured, which is meant where it names none.";

    public static void MapRuns(this IEndpointRouteBuilder api)
    {
        var runs = api.MapGroup("/runs").WithTags("Runs");
        runs.MapPost("", StartAsync).WithName("startRun").Refuses()
            .WithSummary("Starts a run. Answers once it is on record; its samples come through the hub.");
        runs.MapGet("", ListAsync).WithName("listRuns").RefusesInput().WithSummary("Recorded runs, newest first. With only=sweeps or only=screenings those of one kind.");
        runs.MapGet("/{id}", FindAsync).WithName("getRun").MayNotExist().WithSummary("One run.");
        runs.MapGet("/{id}/curves", CurvesAsync).WithName("getCurves").MayNotExist().RefusesInput()
            .WithSummary("The curves of a run, one a pass, missing points null." + ByCalibration);
        runs.MapGet("/{id}/levels", LevelsAsync).WithName("getLevels").MayNotExist().RefusesInput()
            .WithSummary("What the curves of a run say." + ByCalibration);
        runs.MapGet("/{id}/blocks", BlocksAsync).WithName("getBlocks").MayNotExist().RefusesInput()
            .WithSummary("Recorded blocks from a sequence number on, for a viewer that missed some." + ByCalibration);
        runs.MapGet("/{id}/export.csv", ExportAsync).WithName("exportRun").MayNotExist().RefusesInput()
            .Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Csv).WithSummary("The curves of a run as CSV (RFC 4180), units in the header." + ByCalibration);
    }

    private static async Task<Results<Accepted<RunView>, JsonHttpResult<ProblemView>>> StartAsync(
        AskedRig rig, StartRunRequest request, CancellationToken cancellationToken)
    {
        var plan = PlanReading.Read(request.Plan, RequestFaults.Tube(request.Tube));
        if (!plan.IsAccepted) return Problems.Refused(plan.Refusals);
        var tube = new Tube(request.Tube.Label, request.Tube.Type, request.Tube.Lot);
        var started = await rig.Station.Runner.StartAsync(new SweepRequest(plan.Value, tube, request.Socket), cancellationToken);
        if (!started.IsAccepted) return Problems.Refused(PlanReading.UnderPlan(started.Refusals));
        var run = RunViews.Of(new RunRecord(started.Value, RunState.Running, EndedUtc: null, Samples: 0, Trips: [], Gaps: []));
        return TypedResults.Accepted($"/api/runs/{run.Id}", run);
    }

    private static async Task<Results<Ok<RunListView>, JsonHttpResult<ProblemView>>> ListAsync(
        RunStore runs, CancellationToken cancellationToken, int limit = 50, string? olderThan = null, string? only = null)
    {
        IReadOnlyList<Refusal> faults = [.. RequestFaults.Limit(limit), .. RequestFaults.Only(only)];
        if (faults.Count > 0) return Problems.Refused(faults);
        // One more than asked tells whether there is another page.
        var found = await runs.ListAsync(limit + 1, olderThan, RequestFaults.KindOf(only), cancellationToken);
        var page = found.Take(limit).Select(RunViews.Of).ToArray();
        return TypedResults.Ok(new RunListView(page, found.Count > limit ? page[^1].Id : null));
    }

    private static async Task<Results<Ok<RunView>, JsonHttpResult<ProblemView>>> FindAsync(
        RunStore runs, string id, CancellationToken cancellationToken) =>
        await runs.FindAsync(id, cancellationToken) is { } run ? TypedResults.Ok(RunViews.Of(run)) : NoSuchRun(id);

    private static async Task<Results<Ok<CurvesView>, JsonHttpResult<ProblemView>>> CurvesAsync(
        RunStore runs, CalibrationStore calibrations, string id, CancellationToken cancellationToken, string? calibration = null)
    {
        var (run, problem) = await ReadAsync(runs, calibrations, id, calibration, cancellationToken);
        return run is null ? problem! : TypedResults.Ok(run.CurvesView);
    }

    private static async Task<Results<Ok<RunLevelsView>, JsonHttpResult<ProblemView>>> LevelsAsync(
        RunStore runs, CalibrationStore calibrations, string id, CancellationToken cancellationToken, string? calibration = null, bool budget = false)
    {
        var (run, problem) = await ReadAsync(runs, calibrations, id, calibration, cancellationToken);
        return run is null ? problem! : TypedResults.Ok(run.Levels(budget));
    }

    private static async Task<Results<Ok<LiveBlocksView>, JsonHttpResult<ProblemView>>> BlocksAsync(
        RunStore runs, CalibrationStore calibrations, string id, CancellationToken cancellationToken, long from = 0, string? calibration = null)
    {
        if (RequestFaults.From(from) is { Count: > 0 } faults) return Problems.Refused(faults);
        if (await runs.FindAsync(id, cancellationToken) is not { } run) return NoSuchRun(id);
        var chosen = await CalibrationChoice.FindAsync(calibrations, run.Header, calibration, cancellationToken);
        if (!chosen.IsAccepted) return Problems.Refused(chosen.Refusals);
        return TypedResults.Ok(await BlockPages.ReadAsync(runs, run.Header with { Calibration = chosen.Value }, from, cancellationToken));
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> ExportAsync(
        RunStore runs, CalibrationStore calibrations, string id, CancellationToken cancellationToken, string? calibration = null)
    {
        var (run, problem) = await ReadAsync(runs, calibrations, id, calibration, cancellationToken);
        if (run is null) return problem!;
        using var csv = new MemoryStream();
        // Without a byte order mark: RFC 4180 knows none.
        await using (var writer = new StreamWriter(csv, new System.Text.UTF8Encoding(false), leaveOpen: true)) await run.WriteCsvAsync(writer);
        return TypedResults.File(csv.ToArray(), "text/csv; charset=utf-8", run.FileName("csv"));
    }

    internal static async Task<(RecordedRun? Run, JsonHttpResult<ProblemView>? Problem)> ReadAsync(
        RunStore runs, CalibrationStore calibrations, string id, string? calibration, CancellationToken cancellationToken)
    {
        if (await runs.FindAsync(id, cancellationToken) is not { } record) return (null, NoSuchRun(id));
        var read = await RecordedRun.ReadAsync(runs, calibrations, record, calibration, cancellationToken);
        return read.IsAccepted ? (read.Value, null) : (null, Problems.Refused(read.Refusals));
    }

    internal static JsonHttpResult<ProblemView> NoSuchRun(string id) => Problems.NotFound($"run {id}", "GET /api/runs lists those that do.");
}
