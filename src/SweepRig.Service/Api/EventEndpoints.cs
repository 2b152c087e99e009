using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain.Watching;
using SweepRig.Service.Contract;
using SweepRig.Service.Watching;
using SweepRig.Service.Watching.Alarms;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>What whoever left the bench alone wants to know.</summary>
public static class EventEndpoints
{
    public static void MapEvents(this IEndpointRouteBuilder api)
    {
        var events = api.MapGroup("/events").WithTags("Events");
        events.MapGet("", ListAsync).WithName("listEvents").RefusesInput()
            .WithSummary("What befell the bench, newest first: trips, rigs gone and back, drift, and all else worth telling. With since only what was kept after that number; with least only what matters as much.");
        events.MapPost("/seen", SeenAsync).WithName("markEventsSeen").RefusesInput().WithSummary("Notes that somebody has seen all events up to a number.");
    }

    /// <summary>Only to look at: see <see cref="AlarmDocument"/>.</summary>
    public static void MapAlarms(this IEndpointRouteBuilder api) =>
        api.MapGet("/alarms", (AlarmDesk desk) => TypedResults.Ok(AlarmViews.Of(desk.Config, desk.Faults, desk.Journal.Pending, desk.Journal.Done))).WithTags("Events").WithName("getAlarms")
            .WithSummary("Where alarms go, which wait and what became of the last ones. They are set up by a file on the bench's own machine alone.");

    private static async Task<Results<Ok<EventListView>, JsonHttpResult<ProblemView>>> ListAsync(
        EventStore events, CancellationToken cancellationToken, long since = 0, long? olderThan = null, int limit = 50, string? least = null, string? kind = null, string? rig = null, bool unseen = false)
    {
        var faults = RequestFaults.Limit(limit).ToList();
        if (least is not null && EventWords.Severity(least) is null) faults.Add(EventWords.BadSeverity("/least", least));
        if (kind is not null && EventWords.Kind(kind) is null) faults.Add(EventWords.BadKind("/kind", kind));
        if (since < 0) faults.Add(new("since-out-of-range", "/since", $"since {since}", "0 or more", "Ask since the number of the last event that you have; 0 for all."));
        if (faults.Count > 0) return Problems.Refused(faults);
        var choice = new EventChoice(since, olderThan, Least: least is null ? EventSeverity.Note : EventWords.Severity(least)!.Value, Rig: rig, Kind: kind is null ? null : EventWords.Kind(kind), Unseen: unseen);
        return TypedResults.Ok(await EventViews.ListAsync(events, choice, limit, cancellationToken));
    }

    private static async Task<Results<Ok<EventListView>, JsonHttpResult<ProblemView>>> SeenAsync(EventStore events, SeenRequest request, CancellationToken cancellationToken)
    {
        if (request.UpTo < 1) return Problems.Refused([new("number-out-of-range", "/upTo", $"up to {request.UpTo}", "1 or more", "Give the number of the newest event that was seen.")]);
        await events.MarkSeenAsync(request.UpTo, cancellationToken);
        return TypedResults.Ok(await EventViews.ListAsync(events, new(Least: EventSeverity.Warning, Unseen: true), 50, cancellationToken));
    }
}
