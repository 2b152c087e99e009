using Microsoft.AspNetCore.Http.HttpResults;
using SweepRig.Domain;
using SweepRig.Service.Contract;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Api;

/// <summary>What is worked out of one tube among the others, and of its own past.</summary>
public static class TubeEndpoints
{
    public static void MapTubes(this IEndpointRouteBuilder api)
    {
        var tubes = api.MapGroup("/tubes/{label}").WithTags("Lots");
        tubes.MapGet("/spares", SparesAsync).WithName("getSpares").MayNotExist().RefusesInput()
            .WithSummary("Free tubes of the same type that could replace this one, ranked. What is to be kept stands in keep: a word of /api/quantities, with =TOLERANCE about its own value or =LOWEST..HIGHEST.");
        tubes.MapGet("/drift", DriftAsync).WithName("getDrift").MayNotExist().RefusesInput()
            .WithSummary("A level or health figure of a tube over all its measurements in the circuit of the newest: control charts, and whether it has changed beyond uncertainty.");
    }

    private static async Task<Results<Ok<SparesView>, JsonHttpResult<ProblemView>>> SparesAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string label, CancellationToken cancellationToken, string[]? keep = null, string? lot = null)
    {
        if (await stock.FindAsync(StockEndpoints.Number(label), cancellationToken) is not { } tube) return StockEndpoints.NoSuchTube(label);
        var spares = await TubeSpares.FindAsync(stock, runs, shelf, tube, keep, lot, null, cancellationToken);
        return spares.IsAccepted ? TypedResults.Ok(spares.Value) : Problems.Refused(spares.Refusals);
    }

    private static async Task<Results<Ok<DriftView>, JsonHttpResult<ProblemView>>> DriftAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string label, CancellationToken cancellationToken, string quantity = TubeDrift.UsualQuantity, double weight = TubeDrift.UsualWeight, int? baseline = null)
    {
        if (await stock.FindAsync(StockEndpoints.Number(label), cancellationToken) is not { } tube) return StockEndpoints.NoSuchTube(label);
        var named = StockQuantities.Find(quantity, "/quantity");
        List<Refusal> faults = [.. named.Refusals];
        if (!(weight > 0 && weight <= 1)) faults.Add(new("weight-out-of-range", "/weight", FormattableString.Invariant($"weight {weight}"), "above 0 and at most 1", "Ask for 0.2 to 0.3, as is usual."));
        if (baseline < 2) faults.Add(new("baseline-out-of-range", "/baseline", FormattableString.Invariant($"limits made from {baseline} measurements"), "2 or more are needed", "Leave it out for all of them."));
        if (!named.IsAccepted || faults.Count > 0) return Problems.Refused(faults);
        var drift = await TubeDrift.ReadAsync(runs, shelf, tube.Label, named.Value, weight, baseline, cancellationToken);
        return drift.IsAccepted ? TypedResults.Ok(drift.Value) : Problems.Refused(drift.Refusals);
    }
}
