using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Service.Rounds;

namespace SweepRig.Service.Api;

/// <summary>The screening round of the bench: many tubes over its sockets, by what the operator types or scans.</summary>
public static class RoundEndpoints
{
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
        var wish = RoundWish.Read(request);
        return wish.IsAccepted ? await AnswerAsync(desk, desk.BeginAsync(wish.Value, cancellationToken)) : Problems.Refused(wish.Refusals);
    }

    private static async Task<Results<Ok<RoundView>, JsonHttpResult<ProblemView>>> AnswerAsync(RoundDesk desk, Task<Outcome<RoundPicture>> act)
    {
        var outcome = await act;
        return outcome.IsAccepted ? TypedResults.Ok(View(desk, outcome.Value)) : Problems.Refused(outcome.Refusals);
    }

    private static RoundView View(RoundDesk desk, RoundPicture picture) => RoundViewMaker.Of(picture, desk.Since(picture));
}
