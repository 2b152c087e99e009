using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Stations;
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
        bench.MapGet("", (AskedRig rig, TimeProvider time) => TypedResults.Ok(BenchViews.Of(rig.Station.Runner.State, time.GetUtcNow())))
            .WithName("getBench").RefusesInput().WithSummary("The bench as it is now.");
        bench.MapPost("/safe", MakeSafeAsync).WithName("makeSafe").Refuses()
            .WithSummary("Grid to the most negative bias, switchable supplies off, run ended, until acknowledged. Of all rigs, unless one is named; the answer is then the first.");
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
        AskedRig rig, SafeForAll all, TimeProvider time, SafeRequest? request, CancellationToken cancellationToken)
    {
        var reason = request?.Reason is { Length: > 0 } given ? given : "asked for by the operator";
        return Answer(rig.IsNamed ? await rig.Station.Runner.MakeSafeAsync(reason, cancellationToken) : await all.MakeSafeAsync(reason, cancellationToken), time);
    }

    private static async Task<Results<Ok<BenchView>, JsonHttpResult<ProblemView>>> AcknowledgeAsync(
        AskedRig rig, TimeProvider time, CancellationToken cancellationToken) =>
        Answer(await rig.Station.Runner.AcknowledgeAsync(cancellationToken), time);

    private static async Task<Results<Ok<BenchView>, JsonHttpResult<ProblemView>>> SetHeaterAsync(
        AskedRig rig, TimeProvider time, HeaterRequest request, CancellationToken cancellationToken) =>
        RequestFaults.Heater(request) is { Count: > 0 } faults
            ? Problems.Refused(faults)
            : Answer(await rig.Station.Runner.SetHeaterAsync(request.On, new Volts(request.Volts ?? CommonHeaterVolts), cancellationToken), time);

    private static async Task<Results<Ok<BenchView>, JsonHttpResult<ProblemView>>> StopAsync(
        AskedRig rig, TimeProvider time, CancellationToken cancellationToken) =>
        Answer(await rig.Station.Runner.StopAsync(cancellationToken), time);

    private static async Task<Results<Ok<PermitView>, JsonHttpResult<ProblemView>>> GrantPermitAsync(
        AskedRig rig, TimeProvider time, PermitRequest request, CancellationToken cancellationToken)
    {
        if (RequestFaults.Permit(request) is { Count: > 0 } faults) return Problems.Refused(faults);
        var granted = await rig.Station.Runner.GrantPermitAsync(
            new Volts(request.CeilingVolts), TimeSpan.FromSeconds(request.DurationSeconds), request.Reason, cancellationToken);
        return granted.IsAccepted ? TypedResults.Ok(BenchViews.Of(granted.Value, time.GetUtcNow())) : Problems.Refused(granted.Refusals);
    }

    private static async Task<Results<Ok<BenchView>, JsonHttpResult<ProblemView>>> EndPermitAsync(
        AskedRig rig, TimeProvider time, CancellationToken cancellationToken) =>
        Answer(await rig.Station.Runner.EndPermitAsync(cancellationToken), time);

    private static Results<Ok<BenchView>, JsonHttpResult<ProblemView>> Answer(Outcome<BenchState> outcome, TimeProvider time) =>
        outcome.IsAccepted ? TypedResults.Ok(BenchViews.Of(outcome.Value, time.GetUtcNow())) : Problems.Refused(outcome.Refusals);
}
