using System.Text.Json;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Api;

/// <summary>Plan documents: their schema, examples to start from, and the check without a sweep.</summary>
public static class PlanEndpoints
{
    /// <summary>Stands in where a plan is checked before a tube is in the socket. No limit of a type applies to it.</summary>
    private static readonly Tube AnyTube = new("any", "any");

    public static void MapPlans(this IEndpointRouteBuilder api)
    {
        var plans = api.MapGroup("/plans").WithTags("Plans");
        plans.MapGet("/schema", Schema).WithName("getPlanSchema").WithSummary("JSON Schema (2020-12) of a sweep plan.");
        plans.MapGet("/examples", Examples).WithName("getPlanExamples").WithSummary("Plans to start from.");
        plans.MapPost("/check", CheckAsync).WithName("checkPlan").Refuses()
            .WithSummary("Checks a plan against rig, tube, limits and permit, and starts nothing.");
    }

    private static Ok<JsonElement> Schema() => TypedResults.Ok(JsonElement.Parse(PlanDocument.Schema));

    private static Ok<PlanExampleView[]> Examples() =>
        TypedResults.Ok(PlanExamples.All.Select(e => new PlanExampleView(e.Name, e.Explains, PlanReading.Write(e.Plan))).ToArray());

    private static async Task<Results<Ok<CheckedPlanView>, JsonHttpResult<ProblemView>>> CheckAsync(
        AskedRig rig, CheckPlanRequest request, CancellationToken cancellationToken)
    {
        var faults = request.Tube is null ? [] : RequestFaults.Tube(request.Tube);
        var plan = PlanReading.Read(request.Plan, faults);
        if (!plan.IsAccepted) return Problems.Refused(plan.Refusals);
        var tube = request.Tube is { } asked ? new Tube(asked.Label, asked.Type, asked.Lot) : AnyTube;
        var planned = await rig.Station.Runner.CheckAsync(new SweepRequest(plan.Value, tube, request.Socket), cancellationToken);
        return planned.IsAccepted ? TypedResults.Ok(Of(planned.Value)) : Problems.Refused(PlanReading.UnderPlan(planned.Refusals));
    }

    private static CheckedPlanView Of(PlannedRun run) =>
        new(
            RunViews.Passes(run.Passes), run.Ceiling.Value, run.NeedsPermit, run.Floor.TotalSeconds,
            [.. run.Limits.Select(l => new TypeLimitView(l.Word, l.Most.Value, l.Because))]);
}
