using SweepRig.Domain;
using SweepRig.Storage;
using SweepRig.Storage.Archives;

namespace SweepRig.Service.Archives;

/// <summary>Whether what is to be archived is there.</summary>
public static class ArchiveChoice
{
    /// <returns>A refusal for each name that neither stock nor runs know.</returns>
    public static async Task<IReadOnlyList<Refusal>> UnknownAsync(RunStore runs, StockStore stock, ArchiveSelection what, CancellationToken cancellationToken)
    {
        List<Refusal> faults = [];
        var lots = what.Lots.Count == 0 ? [] : (await stock.LotsAsync(cancellationToken)).Select(l => l.Lot.Name).ToArray();
        foreach (var lot in what.Lots.Except(lots, StringComparer.Ordinal))
            faults.Add(new("lot-unknown", "/lot", $"lot {lot}", lots.Length == 0 ? "the stock has no lot yet" : "the stock has none of that name", "See sweeprig stock list --lots."));
        foreach (var tube in what.Tubes)
            if (await stock.FindAsync(tube, cancellationToken) is null && (await runs.OfTubeAsync(tube, cancellationToken)).Count == 0) faults.Add(StockStore.Unknown(tube));
        return faults;
    }
}
