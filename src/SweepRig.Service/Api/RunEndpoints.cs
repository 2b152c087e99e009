using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Api;

/// <summary>Runs: starting one, and reading what is recorded.</summary>
public static class RunEndpoints
{
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
            .Produces<string>(StatusCodes.Status200OK, "text/csv").WithSummary("The curves of a run as CSV (RFC 4180), units in the header.");
    }

    private static async Task<Results<Accepted<RunView>, JsonHttpResult<ProblemView>>> StartAsync(
        ISweepRunner runner, StartRunRequest request, CancellationToken cancellationToken)
    {
        var plan = PlanReading.Read(request.Plan, RequestFaults.Tube(request.Tube));
        if (!plan.IsAccepted) return Problems.Refused(plan.Refusals);
        var tube = new Tube(request.Tube.Label, request.Tube.Type, request.Tube.Lot);
        var started = await runner.StartAsync(new SweepRequest(plan.Value, tube, request.Socket), cancellationToken);
        if (!started.IsAccepted) return Problems.Refused(PlanReading.UnderPlan(started.Refusals));
        var record = new Domain.Runs.RunRecord(started.Value, Domain.Runs.RunState.Running, null, 0, [], []);
        return TypedResults.Accepted($"/api/runs/{started.Value.Id}", RunViews.Of(record, request.Plan));
    }

    private static async Task<Results<Ok<RunListView>, JsonHttpResult<ProblemView>>> ListAsync(
        IRunLibrary runs, CancellationToken cancellationToken, int limit = 50, string? olderThan = null)
    {
        if (RequestFaults.Limit(limit) is { Count: > 0 } faults) return Problems.Refused(faults);
        var found = await runs.ListAsync(limit, olderThan, cancellationToken);
        return TypedResults.Ok(new RunListView([.. found.Select(r => RunViews.Of(r, default))], found.Count == limit ? found[^1].Header.Id : null));
    }

    private static Task<Results<Ok<RunView>, JsonHttpResult<ProblemView>>> FindAsync(IRunLibrary runs, string id, CancellationToken cancellationToken) =>
        throw new NotSupportedException("The run store is not in this build yet.");

    private static Task<Results<Ok<CurvesView>, JsonHttpResult<ProblemView>>> CurvesAsync(IRunLibrary runs, string id, CancellationToken cancellationToken) =>
        throw new NotSupportedException("The run store is not in this build yet.");

    private static Task<Results<Ok<RunLevelsView>, JsonHttpResult<ProblemView>>> LevelsAsync(IRunLibrary runs, string id, CancellationToken cancellationToken) =>
        throw new NotSupportedException("The run store is not in this build yet.");

    private static Task<Results<Ok<LiveBlocksView>, JsonHttpResult<ProblemView>>> BlocksAsync(IRunLibrary runs, string id, CancellationToken cancellationToken, long from = 0) =>
        throw new NotSupportedException("The run store is not in this build yet.");

    private static Task<IResult> ExportAsync(IRunLibrary runs, string id, CancellationToken cancellationToken) =>
        throw new NotSupportedException("The run store is not in this build yet.");
}
