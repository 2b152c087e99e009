using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Storage;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Rounds;

/// <summary>A tube that was wished for and is not swept.</summary>
public sealed record LeftOutTube(string Label, string Reason);

/// <summary>Which tubes of the stock a round takes.</summary>
public sealed record RoundChoice(IReadOnlyList<Tube> Tubes, IReadOnlyList<LeftOutTube> LeftOut)
{
    /// <returns>The tubes, or every reason why there are none.</returns>
    public static async Task<Outcome<RoundChoice>> ChooseAsync(StockStore stock, ISweepRunner runner, RoundWish wish, int socket, CancellationToken cancellationToken)
    {
        var found = await FindAsync(stock, wish, cancellationToken);
        if (!found.IsAccepted) return Outcome<RoundChoice>.Refuse(found.Refusals);
        List<LeftOutTube> left = [];
        List<Tube> tubes = [];
        foreach (var tube in found.Value)
        {
            if (tube.State is TubeState.Retired or TubeState.InUse) left.Add(new(tube.Label, $"it is {StockTube.Words(tube.State)}{(tube.InUseAt is { } where ? $" at {where}" : "")}"));
            else if (tube.Tube is { } known) tubes.Add(known);
            else left.Add(new(tube.Label, $"its type is not known: sweeprig stock identify {tube.Label} TYPE"));
        }
        List<Refusal> refusals = [];
        foreach (var ofType in tubes.GroupBy(t => t.TypeName, StringComparer.Ordinal).ToArray())
        {
            var check = await runner.CheckAsync(new(wish.Plan, ofType.First(), socket), cancellationToken);
            if (check.IsAccepted) continue;
            refusals.AddRange(check.Refusals);
            foreach (var tube in ofType)
            {
                left.Add(new(tube.Label, $"{tube.TypeName}: {check.Refusals[0].Asked}; {check.Refusals[0].Allowed}"));
                tubes.Remove(tube);
            }
        }
        if (tubes.Count > 0) return Outcome<RoundChoice>.Accept(new(tubes, left));
        if (refusals.Count > 0) return Outcome<RoundChoice>.Refuse([.. refusals.Select(r => r with { Path = r.Path.Length > 0 ? $"/plan{r.Path}" : r.Path }).Distinct()]);
        return Outcome<RoundChoice>.Refuse(left.Count > 0
            ? new Refusal("no-tubes", "/tubes", $"{left.Count} tubes were to be swept", string.Join("; ", left.Take(3).Select(l => $"{l.Label}: {l.Reason}")), "Name others, or change what stands against them.")
            : new Refusal("no-tubes", "/lot", wish.Lot is { } lot ? $"new tubes of lot {lot} were to be swept" : "new tubes were to be swept", "none is new",
                "Book tubes in, or name those that are to be swept again."));
    }

    private static async Task<Outcome<IReadOnlyList<StockTube>>> FindAsync(StockStore stock, RoundWish wish, CancellationToken cancellationToken)
    {
        List<Refusal> faults = [];
        if (wish.Lot is { } lot && (await stock.LotsAsync(cancellationToken)).All(l => l.Lot.Name != lot))
            faults.Add(new("lot-unknown", "/lot", $"lot {lot}", "the stock has none of that name", "See sweeprig stock list --lots."));
        List<StockTube> named = [];
        foreach (var label in wish.Labels)
        {
            if (await stock.FindAsync(label, cancellationToken) is not { } tube) faults.Add(StockStore.Unknown(label) with { Path = "/tubes" });
            else if (wish.Lot is { } of && tube.Lot != of) faults.Add(new("tube-of-another-lot", "/tubes", $"{label} is to be swept with lot {of}", $"it is of lot {tube.Lot}", "Leave the lot out, or read the number again."));
            else named.Add(tube);
        }
        if (faults.Count > 0) return Outcome<IReadOnlyList<StockTube>>.Refuse(faults);
        return Outcome<IReadOnlyList<StockTube>>.Accept(
            wish.Labels.Count > 0 ? named : [.. (await stock.TubesAsync(wish.Lot, cancellationToken)).Where(t => t.State == TubeState.New)]);
    }
}
