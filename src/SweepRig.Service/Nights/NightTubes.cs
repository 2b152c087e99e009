using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Stock;
using SweepRig.Storage;
using SweepRig.Sweeps.Queue;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Nights;

/// <summary>Tubes of an order, with what the stock knows of them.</summary>
public static class NightTubes
{
    /// <returns>Those of its sockets, in its order; or every reason why one cannot be worked on.</returns>
    public static async Task<Outcome<IReadOnlyList<Tube>>> FindAsync(StockStore stock, TypeCatalogue types, NightOrder order, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(order);
        List<Refusal> faults = [];
        List<Tube> tubes = [];
        for (var place = 0; place < order.Sockets.Count; place++)
        {
            var path = FormattableString.Invariant($"/sockets/{place}");
            var seat = order.Sockets[place];
            var found = await StockedTube.OfAsync(stock, types, seat.Label, seat.TypeName, seat.Lot, cancellationToken);
            faults.AddRange(found.Refusals.Select(r => r with { Path = $"{path}/type", Remedy = "State its \"type\" here, or book the tube in." }));
            if (!found.IsAccepted) continue;
            tubes.Add(found.Value.Tube);
            if (found.Value.Known is not { } known) continue;
            if (known.State is TubeState.Retired or TubeState.InUse)
                faults.Add(new("tube-not-free", $"{path}/tube", $"{known.Label} is to be worked on", $"the stock says that it is {StockTube.Words(known.State)}{(known.InUseAt is { } where ? $" at {where}" : "")}", "Read the number again, or set the stock right first."));
            if (seat.TypeName is { } said && known.TypeName is { } kept && !string.Equals(types.Find(said)?.Name ?? said, types.Find(kept)?.Name ?? kept, StringComparison.OrdinalIgnoreCase))
                faults.Add(new("type-of-another", $"{path}/type", $"{known.Label} is stated to be a {said}", $"the stock has it as a {kept}", $"Leave the type out, or: sweeprig stock identify {known.Label} {said}."));
        }
        return faults.Count > 0 ? Outcome<IReadOnlyList<Tube>>.Refuse(faults) : Outcome<IReadOnlyList<Tube>>.Accept(tubes);
    }
}
