using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;
using SweepRig.Service.Live;
using SweepRig.Service.Stock;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Api;

/// <summary>Lots and tubes: booking in, finding, and what happens to each.</summary>
public static class StockEndpoints
{
    private const int RunsShown = 50;

    public static void MapStock(this IEndpointRouteBuilder api)
    {
        var lots = api.MapGroup("/lots").WithTags("Stock");
        lots.MapGet("", LotsAsync).WithName("listLots").WithSummary("All lots, the oldest first.");
        lots.MapPost("", BookAsync).WithName("bookTubes").RefusesInput().WithSummary("Books tubes in: a new lot, or more of one. Each gets the number that follows.");
        var tubes = api.MapGroup("/tubes").WithTags("Stock");
        tubes.MapGet("", TubesAsync).WithName("listTubes").RefusesInput()
            .WithSummary("Tubes by lot and number. Conditions that are left out count for nothing; none for type or grade means tubes without; place and find are parts of texts.");
        tubes.MapGet("/{label}", TubeAsync).WithName("getTube").MayNotExist().WithSummary("One tube with its history and its newest runs. Upper and lower case of the number do not matter.");
        tubes.MapPost("/{label}/changes", ChangeAsync).WithName("changeTube").MayNotExist().RefusesInput().WithSummary("Adds to the history of a tube. Nothing in it is ever taken away.");
    }

    private static async Task<Ok<LotListView>> LotsAsync(StockStore stock, CancellationToken cancellationToken) =>
        TypedResults.Ok(new LotListView([.. (await stock.LotsAsync(cancellationToken)).Select(l => LotView.Of(l.Lot, l.Tubes))]));

    private static async Task<Results<Created<BookedTubesView>, JsonHttpResult<ProblemView>>> BookAsync(
        StockStore stock, TypeCatalogue types, TimeProvider time, BookTubesRequest request, CancellationToken cancellationToken)
    {
        if (StockFaults.Book(request) is { Count: > 0 } faults) return Problems.Refused(faults);
        var booking = new Booking(request.Name, request.Type, request.Prefix, request.Origin, request.Price, request.Note);
        var lot = await booking.LotAsync(stock, types, time, cancellationToken);
        var booked = await stock.BookAsync(lot, request.Count, string.IsNullOrWhiteSpace(request.Place) ? null : request.Place.Trim(), cancellationToken);
        return booked.IsAccepted
            ? TypedResults.Created($"/api/tubes?lot={Uri.EscapeDataString(lot.Name)}", new BookedTubesView(lot.Name, [.. booked.Value.Select(t => t.Label)], [.. booking.Remarks(types)]))
            : Problems.Refused(booked.Refusals);
    }

    private static async Task<Results<Ok<StockTubesView>, JsonHttpResult<ProblemView>>> TubesAsync(
        StockStore stock, CancellationToken cancellationToken,
        int limit = 50, string? after = null, string? find = null, string? lot = null, string? type = null, string? state = null, string? grade = null, string? place = null)
    {
        IReadOnlyList<Refusal> faults = [.. RequestFaults.Limit(limit, "after"), .. StockFaults.State(state)];
        if (faults.Count > 0) return Problems.Refused(faults);
        var all = await stock.TubesAsync(null, cancellationToken);
        var filter = new TubeFilter(lot, type, state, grade, place, find);
        var from = after is null ? 0 : all.TakeWhile(t => t.Label != Number(after)).Count() + 1;
        if (from > all.Count && after is not null) return Problems.Refused([new("after-unknown", "/after", $"after \"{after}\"", "a number of the stock", "Give the one that the page before ended with, or leave it out.")]);
        // One more than asked tells whether there is another page.
        StockTubeItem[] rest = [.. all.Skip(from).Where(filter.Takes).Take(limit + 1).Select(StockTubeItem.Of)];
        var page = rest.Take(limit).ToArray();
        return TypedResults.Ok(new StockTubesView(page, all.Count(filter.Takes), all.Count, rest.Length > limit ? page[^1].Label : null, Choices(all)));
    }

    private static async Task<Results<Ok<TubeWithRunsView>, JsonHttpResult<ProblemView>>> TubeAsync(
        StockStore stock, RunStore runs, TypeCatalogue types, string label, CancellationToken cancellationToken) =>
        await stock.FindAsync(Number(label), cancellationToken) is { } tube ? TypedResults.Ok(await WithRunsAsync(runs, types, tube, cancellationToken)) : NoSuchTube(label);

    private static async Task<Results<Ok<TubeWithRunsView>, JsonHttpResult<ProblemView>>> ChangeAsync(
        StockStore stock, RunStore runs, TypeCatalogue types, string label, ChangeTubeRequest request, CancellationToken cancellationToken)
    {
        if (StockFaults.Change(request) is { Count: > 0 } faults) return Problems.Refused(faults);
        var (kind, text) = (StockFaults.Changes[request.Change], request.Text.Trim());
        if (kind == TubeChangeKind.Identified) text = types.Find(text)?.Name ?? text;
        var after = await stock.ChangeAsync(Number(label), kind, text, cancellationToken);
        if (after.IsAccepted) return TypedResults.Ok(await WithRunsAsync(runs, types, after.Value, cancellationToken));
        return after.Refusals.Any(r => r.Code == StockStore.UnknownTube) ? NoSuchTube(label) : Problems.Refused(after.Refusals);
    }

    internal static JsonHttpResult<ProblemView> NoSuchTube(string label) =>
        Problems.NotFound($"tube {Number(label)}", "Check the number on the tube, or book it in first.");

    /// <summary>As numbers are written on tubes.</summary>
    internal static string Number(string typed) => TubeNumber.Of(typed).Label;

    private static async Task<TubeWithRunsView> WithRunsAsync(RunStore runs, TypeCatalogue types, StockTube tube, CancellationToken cancellationToken)
    {
        var type = tube.TypeName is { } name ? types.Find(name) : null;
        var recorded = await runs.OfTubeAsync(tube.Label, cancellationToken);
        return new(StockTubeView.Of(tube), type?.Caution, type is not null, [.. recorded.Take(RunsShown).Select(RunViews.Of)]);
    }

    private static StockChoicesView Choices(IReadOnlyList<StockTube> all)
    {
        string[] Of(Func<StockTube, string?> word) => [.. all.Select(word).OfType<string>().Distinct(StringComparer.Ordinal)];
        string[] Sorted(Func<StockTube, string?> word) => [.. Of(word).Order(StringComparer.OrdinalIgnoreCase)];
        return new(Of(t => t.Lot), Sorted(t => t.TypeName), Sorted(t => t.Grade), Sorted(t => t.Location));
    }
}
