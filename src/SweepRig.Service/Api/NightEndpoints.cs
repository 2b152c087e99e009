using System.Text.Json;
using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Nights;
using SweepRig.Service.Stations;
using SweepRig.Storage;
using SweepRig.Sweeps.Queue;

namespace SweepRig.Service.Api;

/// <summary>Unattended work: the night of each rig, its plan, and the nights on record.</summary>
public static class NightEndpoints
{
    private const int MostListed = 500, MostSteps = 1_000;

    public static void MapNights(this IEndpointRouteBuilder api)
    {
        var nights = api.MapGroup("/nights").WithTags("Nights");
        nights.MapGet("/schema", () => TypedResults.Ok(JsonElement.Parse(NightDocument.Schema))).WithName("getNightSchema").WithSummary("JSON Schema (2020-12) of a night.");
        nights.MapGet("/examples", () => TypedResults.Ok(NightExamples.All.Select(e => new NightExampleView(e.Name, e.Explains, JsonElement.Parse(e.Document))).ToArray())).WithName("getNightExamples")
            .WithSummary("Nights to start from.");
        nights.MapPost("/plan", PlanAsync).WithName("planNight").Refuses().WithSummary("Holds a night against stock, rig and clock, and tells how it would go. Nothing is begun.");
        nights.MapGet("", ListAsync).WithName("listNights").RefusesInput().WithSummary("Nights on record, the newest first.");
        nights.MapGet("/{id}", FindAsync).WithName("getNight").MayNotExist().WithSummary("A night on record.");
        nights.MapGet("/{id}/steps", StepsAsync).WithName("getNightSteps").RefusesInput().MayNotExist().WithSummary("Steps of a night, predicted and happened; a page of them.");

        var night = api.MapGroup("/night").WithTags("Nights");
        night.MapGet("", Status).WithName("getRigNight").RefusesInput().WithSummary("The night of a rig that is under way, or its last one.");
        night.MapPost("", BeginAsync).WithName("beginNight").Refuses().WithSummary("Begins a night on a rig.");
        night.MapPost("/hold", (StationList stations, HoldNightRequest request, CancellationToken c, string? rig = null) => ActAsync(stations, rig, d => d.HoldAsync(Line(request.Why), c))).WithName("holdNight").Refuses()
            .WithSummary("Nothing more is begun until it goes on; the step under way is done to its end.");
        night.MapPost("/go-on", (StationList stations, CancellationToken c, string? rig = null) => ActAsync(stations, rig, d => d.GoOnAsync(c))).WithName("goOnWithNight").Refuses()
            .WithSummary("A person has seen why it was held. A trip is acknowledged first.");
        night.MapPost("/skip", (StationList stations, SkipNightJobRequest request, CancellationToken c, string? rig = null) => ActAsync(stations, rig, d => d.SkipAsync(request.Job, c))).WithName("skipNightJob").Refuses()
            .WithSummary("Nothing more of a job is begun.");
        night.MapDelete("", (StationList stations, CancellationToken c, string? rig = null) => ActAsync(stations, rig, d => d.EndAsync(c))).WithName("endNight").Refuses()
            .WithSummary("Ends the night: the step under way is broken off, the heaters go off.");
    }

    private static Results<Ok<NightStatusView>, JsonHttpResult<ProblemView>> Status(StationList stations, string? rig = null)
    {
        var station = stations.Find(rig);
        if (!station.IsAccepted) return Problems.Refused(station.Refusals);
        var desk = station.Value.Night;
        return TypedResults.Ok(new NightStatusView(desk.Picture is { } picture ? NightViewMaker.Of(picture, station.Value.Name, desk.At(picture)) : null));
    }

    private static async Task<Results<Ok<NightPlanView>, JsonHttpResult<ProblemView>>> PlanAsync(StationList stations, NightRequest request, TimeProvider time, CancellationToken cancellationToken, string? rig = null)
    {
        var station = stations.Find(rig);
        var order = NightDocument.Parse(request.Document);
        if (!station.IsAccepted || !order.IsAccepted) return Problems.Refused([.. station.Refusals, .. Under(order.Refusals)]);
        var now = time.GetUtcNow();
        var setup = await station.Value.Night.CheckAsync(order.Value, now, cancellationToken);
        return setup.IsAccepted ? TypedResults.Ok(NightViewMaker.Plan(setup.Value, now)) : Problems.Refused(Under(setup.Refusals));
    }

    private static async Task<Results<Ok<NightView>, JsonHttpResult<ProblemView>>> BeginAsync(StationList stations, NightRequest request, CancellationToken cancellationToken, string? rig = null)
    {
        var order = NightDocument.Parse(request.Document);
        return order.IsAccepted ? await ActAsync(stations, rig, d => d.BeginAsync(order.Value, request.Document, cancellationToken)) : Problems.Refused(Under(order.Refusals));
    }

    private static async Task<Results<Ok<NightView>, JsonHttpResult<ProblemView>>> ActAsync(StationList stations, string? rig, Func<NightDesk, Task<Outcome<NightPicture>>> act)
    {
        var station = stations.Find(rig);
        if (!station.IsAccepted) return Problems.Refused(station.Refusals);
        var desk = station.Value.Night;
        var outcome = await act(desk);
        return outcome.IsAccepted ? TypedResults.Ok(NightViewMaker.Of(outcome.Value, station.Value.Name, desk.At(outcome.Value))) : Problems.Refused(Under(outcome.Refusals));
    }

    private static async Task<Results<Ok<NightHeadView[]>, JsonHttpResult<ProblemView>>> ListAsync(NightStore nights, CancellationToken cancellationToken, int limit = 50, string? rig = null)
    {
        if (limit is < 1 or > MostListed) return Problems.Refused([new("out-of-range", "/limit", $"limit is {limit}", $"1 to {MostListed} are possible", "Ask for fewer.")]);
        return TypedResults.Ok((await nights.ListAsync(limit, rig, cancellationToken)).Select(Head).ToArray());
    }

    private static async Task<Results<Ok<NightHeadView>, JsonHttpResult<ProblemView>>> FindAsync(NightStore nights, string id, CancellationToken cancellationToken) =>
        await nights.FindAsync(id, cancellationToken) is { } night ? TypedResults.Ok(Head(night)) : Unknown(id);

    private static async Task<Results<Ok<NightStepsView>, JsonHttpResult<ProblemView>>> StepsAsync(
        StationList stations, NightStore nights, string id, CancellationToken cancellationToken, int from = 0, int limit = MostSteps)
    {
        if (from < 0 || limit is < 1 or > MostSteps) return Problems.Refused([new("out-of-range", "/limit", $"{limit} steps from {from} on", $"from is 0 or more, and 1 to {MostSteps} come at a time", "Ask for the next page.")]);
        if (stations.Select(s => s.Night.Picture).FirstOrDefault(p => p?.Id == id && p.Night is not null) is { } picture) return TypedResults.Ok(NightViewMaker.Steps(picture, from, limit));
        return await nights.FindAsync(id, cancellationToken) is { } night
            ? TypedResults.Ok(StoredNightViews.Steps(night, await nights.StepsAsync(id, cancellationToken), from, limit))
            : Unknown(id);
    }

    private static NightHeadView Head(StoredNight night) =>
        new(night.Id, night.Rig, night.Name, BenchViews.Utc(night.BegunUtc), night.EndedUtc is { } ended ? BenchViews.Utc(ended) : null, night.EndedBecause);

    private static JsonHttpResult<ProblemView> Unknown(string id) => Problems.NotFound($"night {id}", "See GET /api/nights.");

    /// <summary>Paths of the document as paths of the request.</summary>
    private static IReadOnlyList<Refusal> Under(IReadOnlyList<Refusal> refusals) => [.. refusals.Select(r => r.Path.Length > 0 && r.Path is not ("/rig" or "/job") ? r with { Path = $"/document{r.Path}" } : r)];

    private static string Line(string? why)
    {
        var line = string.Join(' ', (why ?? "").Split(['\r', '\n', '\t'], StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries));
        return line.Length == 0 ? "no reason given" : line.Length <= 200 ? line : line[..199] + "…";
    }
}
