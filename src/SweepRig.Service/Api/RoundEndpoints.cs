using System.Text.Json;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Service.Contract;
using SweepRig.Service.Rounds;

namespace SweepRig.Service.Api;

/// <summary>The screening round of the bench: many tubes over its sockets, by what the operator types or scans.</summary>
public static class RoundEndpoints
{
    private const int MostNamed = 1_000;

    public static void MapRound(this IEndpointRouteBuilder api)
    {
        var round = api.MapGroup("/round").WithTags("Round");
        round.MapGet("", (RoundDesk desk) => TypedResults.Ok(new RoundStatusView(desk.Picture is { } picture ? View(desk, picture) : null))).WithName("getRound")
            .WithSummary("The screening round under way, or the last one.");
        round.MapPost("", BeginAsync).WithName("beginRound").Refuses().WithSummary("Begins a round over the new tubes of the stock, of a lot, or over tubes that are named.");
        round.MapPost("/entry", (RoundDesk desk, RoundEntryRequest request, CancellationToken c) => AnswerAsync(desk, desk.EnterAsync(request.Text, c))).WithName("enterRoundLine").Refuses()
            .WithSummary("Takes one line that the operator typed or scanned; empty for what was asked for is done.");
        round.MapDelete("", (RoundDesk desk, CancellationToken c) => AnswerAsync(desk, desk.EndAsync(c))).WithName("endRound").Refuses()
            .WithSummary("Ends the round and switches the heaters off. Tubes that were not swept stay new.");
    }

    private static async Task<Results<Ok<RoundView>, JsonHttpResult<ProblemView>>> BeginAsync(RoundDesk desk, BeginRoundRequest request, CancellationToken cancellationToken)
    {
        var plan = PlanOf(request.Plan);
        List<Refusal> faults = [.. plan.Refusals];
        if (request.Tubes is { Length: > MostNamed } many)
            faults.Add(new("too-many-tubes", "/tubes", $"{many.Length} tubes are named", $"up to {MostNamed} can be", "Name a lot instead, or make two rounds."));
        if (faults.Count > 0) return Problems.Refused(faults);
        return await AnswerAsync(desk, desk.BeginAsync(
            new(request.Lot, [.. (request.Tubes ?? []).Select(t => t.Trim().ToUpperInvariant())], request.Sockets ?? [], plan.Value!), cancellationToken));
    }

    private static Outcome<SweepPlan> PlanOf(JsonElement plan)
    {
        if (plan.ValueKind != JsonValueKind.String) return PlanReading.Read(plan, []);
        return PlanExamples.Find(plan.GetString()!) is { } example
            ? Outcome<SweepPlan>.Accept(example.Plan)
            : Outcome<SweepPlan>.Refuse(new Refusal("plan-unknown", "/plan", $"plan \"{plan.GetString()}\"", $"examples are {string.Join(", ", PlanExamples.All.Select(e => e.Name))}", "Name one of those, or give a plan document."));
    }

    private static async Task<Results<Ok<RoundView>, JsonHttpResult<ProblemView>>> AnswerAsync(RoundDesk desk, Task<Outcome<RoundPicture>> act)
    {
        var outcome = await act;
        return outcome.IsAccepted ? TypedResults.Ok(View(desk, outcome.Value)) : Problems.Refused(outcome.Refusals);
    }

    private static RoundView View(RoundDesk desk, RoundPicture picture) => RoundViewMaker.Of(picture, desk.Since(picture));
}
