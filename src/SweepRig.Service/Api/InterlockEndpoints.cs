using System.Text.Json;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Service.Contract;
using SweepRig.Service.Interlocks;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Service.Api;

/// <summary>The rules of the host's interlocks and the limits of this bench. They are read when the service starts; nothing here changes one.</summary>
public static class InterlockEndpoints
{
    public static void MapInterlocks(this IEndpointRouteBuilder api)
    {
        var interlocks = api.MapGroup("/interlocks").WithTags("Interlocks");
        interlocks.MapGet("", (RuleSettings settings) => TypedResults.Ok(RuleViews.List(settings)))
            .WithName("listInterlocks").WithSummary("Every rule: hazard, action, remedy, and its limit while the bench is attended and while it is not.");
        interlocks.MapGet("/schema", () => TypedResults.Ok(JsonElement.Parse(RuleDocument.Schema)))
            .WithName("getInterlockSchema").WithSummary("JSON Schema (2020-12) of a bench's own limits.");
        interlocks.MapGet("/{rule}", Find).WithName("getInterlock").MayNotExist().WithSummary("One rule.");
    }

    private static Results<Ok<InterlockRuleView>, JsonHttpResult<ProblemView>> Find(RuleSettings settings, string rule) => InterlockRules.Find(rule) is { } found
        ? TypedResults.Ok(RuleViews.Of(found, settings))
        : Problems.NotFound($"interlock rule {rule}", "GET /api/interlocks lists those that there are.");
}
