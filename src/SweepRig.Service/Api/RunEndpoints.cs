using System.Net.Mime;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Analysis.Levels;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Storage;
using SweepRig.Storage.Exports;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Api;

/// <summary>Runs: starting one, and reading what is recorded, also of the one under way.</summary>
public static class RunEndpoints
{
    /// <summary>Blocks in one reply; a viewer that missed more asks again.</summary>
    public const int BlocksPerPage = 200;

    public static void MapRuns(this IEndpointRouteBuilder api)
    {
        var runs = api.MapGroup("/runs").WithTags("Runs");
        runs.MapPost("", StartAsync).WithName("startRun").Refuses()
            .WithSummary("Starts a run. Answers once it is on record; its samples come through the hub.");
        runs.MapGet("", ListAsync).WithName("listRuns").RefusesInput().WithSummary("Recorded runs, newest first.");
        runs.MapGet("/{id}", FindAsync).WithName("getRun").MayNotExist().WithSummary("One run.");
        runs.MapGet("/{id}/curves", CurvesAsync).WithName("getCurves").MayNotExist()
            .WithSummary("The curves of a run, one a pass, missing points null.");
        runs.MapGet("/{id}/levels", LevelsAsync).WithName("getLevels").MayNotExist().WithSummary("What the curves of a run say.");
        runs.MapGet("/{id}/blocks", BlocksAsync).WithName("getBlocks").MayNotExist().RefusesInput()
            .WithSummary("Recorded blocks from a sequence number on, for a viewer that missed some.");
        runs.MapGet("/{id}/export.csv", ExportAsync).WithName("exportRun").MayNotExist()
            .Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Csv).WithSummary("The curves of a run as CSV (RFC 4180), units in the header.");
    }

    private static async Task<Results<Accepted<RunView>, JsonHttpResult<ProblemView>>> StartAsync(
        ISweepRunner runner, StartRunRequest request, CancellationToken cancellationToken)
    {
        var plan = PlanReading.Read(request.Plan, RequestFaults.Tube(request.Tube));
        if (!plan.IsAccepted) return Problems.Refused(plan.Refusals);
        var tube = new Tube(request.Tube.Label, request.Tube.Type, request.Tube.Lot);
        var started = await runner.StartAsync(new SweepRequest(plan.Value, tube, request.Socket), cancellationToken);
        if (!started.IsAccepted) return Problems.Refused(PlanReading.UnderPlan(started.Refusals));
        var run = RunViews.Of(new RunRecord(started.Value, RunState.Running, EndedUtc: null, Samples: 0, Trips: [], Gaps: []));
        return TypedResults.Accepted($"/api/runs/{run.Id}", run);
    }

    private static async Task<Results<Ok<RunListView>, JsonHttpResult<ProblemView>>> ListAsync(
        RunStore runs, CancellationToken cancellationToken, int limit = 50, string? olderThan = null)
    {
        if (RequestFaults.Limit(limit) is { Count: > 0 } faults) return Problems.Refused(faults);
        // One more than asked tells whether there is another page.
        var found = await runs.ListAsync(limit + 1, olderThan, cancellationToken);
        var page = found.Take(limit).Select(RunViews.Of).ToArray();
        return TypedResults.Ok(new RunListView(page, found.Count > limit ? page[^1].Id : null));
    }

    private static async Task<Results<Ok<RunView>, JsonHttpResult<ProblemView>>> FindAsync(
        RunStore runs, string id, CancellationToken cancellationToken) =>
        await runs.FindAsync(id, cancellationToken) is { } run ? TypedResults.Ok(RunViews.Of(run)) : NoSuchRun(id);

    private static async Task<Results<Ok<CurvesView>, JsonHttpResult<ProblemView>>> CurvesAsync(
        RunStore runs, string id, CancellationToken cancellationToken)
    {
        if (await runs.FindAsync(id, cancellationToken) is not { } run) return NoSuchRun(id);
        var curves = await CurvesOfAsync(runs, run, cancellationToken);
        return TypedResults.Ok(new CurvesView(id, [.. curves.Select(RunViews.Of)]));
    }

    private static async Task<Results<Ok<RunLevelsView>, JsonHttpResult<ProblemView>>> LevelsAsync(
        RunStore runs, string id, CancellationToken cancellationToken)
    {
        if (await runs.FindAsync(id, cancellationToken) is not { } run) return NoSuchRun(id);
        var curves = await CurvesOfAsync(runs, run, cancellationToken);
        return TypedResults.Ok(RunViews.Of(RunLevelFinder.Find(id, curves, run.Header.Plan.Connection, new LevelOptions(), run.Header.Calibration)));
    }

    private static async Task<Results<Ok<LiveBlocksView>, JsonHttpResult<ProblemView>>> BlocksAsync(
        RunStore runs, string id, CancellationToken cancellationToken, long from = 0)
    {
        if (RequestFaults.From(from) is { Count: > 0 } faults) return Problems.Refused(faults);
        if (await runs.FindAsync(id, cancellationToken) is not { } run) return NoSuchRun(id);
        var calibrator = Calibrator.For(run.Header);
        var blocks = new List<LiveBlockView>();
        await foreach (var (sequence, block) in runs.ReadBlocksAsync(id, from, cancellationToken))
        {
            if (blocks.Count == BlocksPerPage) return TypedResults.Ok(new LiveBlocksView(id, [.. blocks], sequence));
            blocks.Add(RunViews.Block(id, sequence, block, calibrator, newestSampleUnixMs: null, skipped: 0));
        }
        return TypedResults.Ok(new LiveBlocksView(id, [.. blocks], NextSequence: null));
    }

    private static async Task<Results<FileContentHttpResult, JsonHttpResult<ProblemView>>> ExportAsync(
        RunStore runs, string id, CancellationToken cancellationToken)
    {
        if (await runs.FindAsync(id, cancellationToken) is not { } run) return NoSuchRun(id);
        var curves = await CurvesOfAsync(runs, run, cancellationToken);
        using var csv = new MemoryStream();
        // Without a byte order mark: RFC 4180 knows none.
        await using (var writer = new StreamWriter(csv, new System.Text.UTF8Encoding(false), leaveOpen: true)) await CurveCsv.WriteAsync(run, curves, writer);
        return TypedResults.File(csv.ToArray(), "text/csv; charset=utf-8", $"{FileNameOf(run)}.csv");
    }

    private static async Task<IReadOnlyList<Curve>> CurvesOfAsync(RunStore runs, RunRecord run, CancellationToken cancellationToken)
    {
        var blocks = new List<SampleBlock>();
        await foreach (var (_, block) in runs.ReadBlocksAsync(run.Header.Id, 0, cancellationToken)) blocks.Add(block);
        return CurveBuilder.Build(run.Header, blocks);
    }

    private static JsonHttpResult<ProblemView> NoSuchRun(string id) => Problems.NotFound($"run {id}", "GET /api/runs lists those that do.");

    private static string FileNameOf(RunRecord run)
    {
        var label = new string([.. run.Header.Tube.Label.Select(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' ? c : '_')]);
        return $"{label}-{BenchViews.Word(run.Header.Plan.Connection.Kind)}-{run.Header.Id}";
    }
}
