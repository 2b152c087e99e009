using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Api;

/// <summary>The bench: its state, and every act of the operator upon it. All go through the one door.</summary>
public static class BenchEndpoints
{
    /// <summary>Heater voltage when none is asked for: nearly all miniature receiving tubes.</summary>
    private const double CommonHeaterVolts = 6.3;

    public static void MapBench(this IEndpointRouteBuilder api)
    {
        var bench = api.MapGroup("/bench").WithTags("Bench");
        bench.MapGet("", (ISweepRunner runner, TimeProvider time) => BenchViews.Of(runner.State, time.GetUtcNow()))
            .WithName("getBench").WithSummary("The bench as it is now.");
        bench.MapPost("/safe", MakeSafeAsync).WithName("makeSafe").Refuses()
            .WithSummary("Grid to the most negative bias, switchable supplies off, run ended, until acknowledged.");
        bench.MapPost("/acknowledge", AcknowledgeAsync).WithName("acknowledge").Refuses()
            .WithSummary("Releases a trip whose cause is gone.");
        bench.MapPost("/heater", SetHeaterAsync).WithName("setHeater").Refuses()
            .WithSummary("Switches the heaters.");
        bench.MapPost("/stop", StopAsync).WithName("stopRun").Refuses()
            .WithSummary("Ends the run under way without a trip.");
        bench.MapPost("/permit", GrantPermitAsync).WithName("grantPermit").Refuses()
            .WithSummary("Permits positive drive up to a ceiling, for a while, for a stated reason. Logged.");
        bench.MapDelete("/permit", EndPermitAsync).WithName("endPermit").Refuses()
            .WithSummary("Ends the permit.");
    }

    private static async Task<Results<Ok<BenchView>, JsonHttpResult<ProblemView>>> MakeSafeAsync(
        ISweepRunner runner, TimeProvider time, SafeRequest? request, CancellationToken cancellationToken) =>
        Answer(await runner.MakeSafeAsync(request?.Reason is { Length: > 0 } reason ? reason : "asked for by the operator", cancellationToken), time);

    private static async Task<Results<Ok<BenchView>, JsonHttpResult<ProblemView>>> AcknowledgeAsync(
        ISweepRunner runner, TimeProvider time, CancellationToken cancellationToken) =>
        Answer(await runner.AcknowledgeAsync(cancellationToken), time);

    private static async Task<Results<Ok<BenchView>, JsonHttpResult<ProblemView>>> SetHeaterAsync(
        ISweepRunner runner, TimeProvider time, HeaterRequest request, CancellationToken cancellationToken) =>
        RequestFaults.Heater(request) is { Count: > 0 } faults
            ? Problems.Refused(faults)
            : Answer(await runner.SetHeaterAsync(request.On, new Volts(request.Volts ?? CommonHeaterVolts), cancellationToken), time);

    private static async Task<Results<Ok<BenchView>, JsonHttpResult<ProblemView>>> StopAsync(
        ISweepRunner runner, TimeProvider time, CancellationToken cancellationToken) =>
        Answer(await runner.StopAsync(cancellationToken), time);

    private static async Task<Results<Ok<PermitView>, JsonHttpResult<ProblemView>>> GrantPermitAsync(
        ISweepRunner runner, TimeProvider time, PermitRequest request, CancellationToken cancellationToken)
    {
        if (RequestFaults.Permit(request) is { Count: > 0 } faults) return Problems.Refused(faults);
        var granted = await runner.GrantPermitAsync(
            new Volts(request.CeilingVolts), TimeSpan.FromSeconds(request.DurationSeconds), request.Reason, cancellationToken);
        return granted.IsAccepted ? TypedResults.Ok(BenchViews.Of(granted.Value, time.GetUtcNow())) : Problems.Refused(granted.Refusals);
    }

    private static async Task<Results<Ok<BenchView>, JsonHttpResult<ProblemView>>> EndPermitAsync(
        ISweepRunner runner, TimeProvider time, CancellationToken cancellationToken) =>
        Answer(await runner.EndPermitAsync(cancellationToken), time);

    private static Results<Ok<BenchView>, JsonHttpResult<ProblemView>> Answer(Outcome<BenchState> outcome, TimeProvider time) =>
        outcome.IsAccepted ? TypedResults.Ok(BenchViews.Of(outcome.Value, time.GetUtcNow())) : Problems.Refused(outcome.Refusals);
}
