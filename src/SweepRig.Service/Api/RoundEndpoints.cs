using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Service.Rounds;

namespace SweepRig.Service.Api;

/// <summary>The screening round of a rig: many tubes over its sockets, by what the operator types or scans.</summary>
public static class RoundEndpoints
{
    public static void MapRound(this IEndpointRouteBuilder api)
    {
        var round = api.MapGroup("/round").WithTags("Round");
        round.MapGet("", (AskedRig rig) => TypedResults.Ok(new RoundStatusView(rig.Station.Round.Picture is { } picture ? View(rig.Station.Round, picture) : null))).WithName("getRound").RefusesInput()
            .WithSummary("The screening round under way, or the last one.");
        round.MapPost("", BeginAsync).WithName("beginRound").Refuses().WithSummary("Begins a round over the new tubes of the stock, of a lot, or over tubes that are named.");
        round.MapPost("/entry", (AskedRig rig, RoundEntryRequest request, CancellationToken c) => AnswerAsync(rig.Station.Round, rig.Station.Round.EnterAsync(request.Text, c))).WithName("enterRoundLine").Refuses()
            .WithSummary("Takes one line that the operator typed or scanned; empty for what was asked for is done.");
        round.MapDelete("", (AskedRig rig, CancellationToken c) => AnswerAsync(rig.Station.Round, rig.Station.Round.EndAsync(c))).WithName("endRound").Refuses()
            .WithSummary("Ends the round and switches the heaters off. Tubes that were not swept stay new.");
    }

    private static async Task<Results<Ok<RoundView>, JsonHttpResult<ProblemView>>> BeginAsync(AskedRig rig, BeginRoundRequest request, CancellationToken cancellationToken)
    {
        var desk = rig.Station.Round;
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
