using System.Net.Mime;
using System.Text.Json;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using SweepRig.Domain;
using SweepRig.Logic.Networks;
using SweepRig.Service.Contract;
using SweepRig.Service.Logic;

namespace SweepRig.Service.Api;

/// <summary>Circuits of measured tubes, before anything is soldered. Worked out when asked; nothing is stored. An answer that takes long can be followed by a name given in work.</summary>
public static class LogicEndpoints
{
    private const string Follow = " With work=NAME, GET /api/logic/progress/NAME tells how far it has come; who hangs up ends it.";
    private const string Tubes = " Tubes by number or a lot; neither for an example tube. A lot is fitted first, a second or so a tube, once.";

    public static void MapLogic(this IEndpointRouteBuilder api)
    {
        var logic = api.MapGroup("/logic").WithTags("Logic");
        logic.MapGet("/gates", () => TypedResults.Ok(AskedGate.List)).WithName("listGates").WithSummary("Gates that can be asked about, and the values that are taken where nothing else is said.");
        logic.MapGet("/tubes", async (LogicTubes tubes, CancellationToken c) => TypedResults.Ok(await tubes.ListAsync(c))).WithName("listLogicTubes").WithSummary("Tubes of the stock, with the connections that each was swept in.");
        logic.MapPost("/stage", (LogicDesk desk, LogicProgress progress, StageRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.StageAsync(request, p, c)))
            .WithName("getStage").RefusesInput().WithSummary("Transfer curve, levels, margins and burden of stages with any of some tubes." + Tubes + Follow);
        logic.MapPost("/search", (LogicDesk desk, LogicProgress progress, SearchRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.SearchAsync(request, p, c)))
            .WithName("searchValues").RefusesInput().WithSummary("The resistors that give the greatest margin to every one of some tubes, and what kept better ones out." + Tubes + Follow);
        logic.MapPost("/pairs", (LogicDesk desk, LogicProgress progress, PairRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.PairsAsync(request, p, c)))
            .WithName("getBistablePairs").RefusesInput().WithSummary("Which two of some tubes make the best bistable." + Tubes + Follow);
        logic.MapPost("/check", (LogicDesk desk, LogicProgress progress, GateRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.CheckAsync(request, p, c)))
            .WithName("checkGate").RefusesInput().WithSummary("The table of a gate with the very tubes that it is to have, in volts and with the margin of each row." + Follow);
        logic.MapPost("/choose", (LogicDesk desk, LogicProgress progress, ChooseRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.Choices.ChooseAsync(request, p, c)))
            .WithName("chooseTubes").RefusesInput().WithSummary("Which tube goes where in a gate, so that its worst margin is largest; with runner-up, spares, and a bound that no placement is beyond." + Follow);
        logic.MapPost("/fill", (LogicDesk desk, LogicProgress progress, FillRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.Fills.FillAsync(request, p, c)))
            .WithName("fillGate").RefusesInput().WithSummary("Free tubes of the stock for the empty places of a gate, only such as a sweep tells the constants of; with those that were left out and why." + Follow);
        logic.MapPost("/spares", (LogicDesk desk, LogicProgress progress, SparesRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.Spares.FindAsync(request, p, c)))
            .WithName("getGateSpares").RefusesInput().WithSummary("Which free tubes could stand in for each tube of a gate, all others staying, and the margin that it then has." + Follow);
        logic.MapPost("/timing", (LogicDesk desk, LogicProgress progress, GateRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.Times.TimeAsync(request, p, c)))
            .WithName("getTiming").RefusesInput().WithSummary("How fast a gate is, what its triggers must be like, and what it takes; with the slowest path as curves in time." + Follow);
        logic.MapPost("/map", (LogicDesk desk, LogicProgress progress, MapRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.Times.MapAsync(request, p, c)))
            .WithName("getMarginMap").RefusesInput().WithSummary("The margin of a gate as its plate rail and the supply of its screens, or its bias rail, move: where it stops working." + Follow);
        logic.MapPost("/yield", (LogicDesk desk, LogicProgress progress, YieldRequest request, CancellationToken c, string? work = null) => AnswerAsync(progress, work, p => desk.YieldAsync(request, p, c)))
            .WithName("getYield").RefusesInput().WithSummary("How many of many built gates would be right, and which part weighs most." + Follow);
        logic.MapPost("/netlist", NetlistAsync).WithName("getNetlist").RefusesInput().Produces<string>(StatusCodes.Status200OK, MediaTypeNames.Text.Plain).WithSummary("A row of the table of a gate as a netlist that ngspice runs as it is.");
        logic.MapBuilds();
        logic.MapPost("/solve", async (LogicDesk desk, [FromBody] JsonElement network, CancellationToken c) => Answer(await desk.SolveAsync(network.GetRawText(), c)))
            .WithName("solveNetwork").RefusesInput().WithSummary("Every balance of a network (network/1), stable or not.");
        logic.MapGet("/schema", () => TypedResults.Ok(JsonElement.Parse(NetworkDocument.Schema))).WithName("getNetworkSchema").WithSummary("JSON Schema (2020-12) of a network.");
        logic.MapGet("/progress/{name}", Results<Ok<LogicWorkView>, JsonHttpResult<ProblemView>> (LogicProgress progress, string name) =>
                progress.Of(name) is { } now ? TypedResults.Ok(now) : Problems.NotFound($"work {name}", "It has ended, or was never begun.")).WithName("getLogicWork").MayNotExist().WithSummary("How far an answer has come.");
    }

    private static async Task<Results<ContentHttpResult, JsonHttpResult<ProblemView>>> NetlistAsync(LogicDesk desk, NetlistRequest request, CancellationToken cancellationToken)
    {
        var netlist = await desk.NetlistAsync(request, cancellationToken);
        return netlist.IsAccepted ? TypedResults.Text(netlist.Value, MediaTypeNames.Text.Plain) : Problems.Refused(netlist.Refusals);
    }

    private static async Task<Results<Ok<T>, JsonHttpResult<ProblemView>>> AnswerAsync<T>(LogicProgress progress, string? work, Func<Action<LogicWorkView>?, Task<Outcome<T>>> ask)
        where T : class => Answer(await progress.FollowAsync(work, ask));

    private static Results<Ok<T>, JsonHttpResult<ProblemView>> Answer<T>(Outcome<T> outcome)
        where T : class => outcome.IsAccepted ? TypedResults.Ok(outcome.Value) : Problems.Refused(outcome.Refusals);
}
