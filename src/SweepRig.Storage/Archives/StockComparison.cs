using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;

namespace SweepRig.Storage.Archives;

/// <summary>Lots and tubes of an archive beside those that are here.</summary>
/// <param name="NewLots">Not here yet.</param>
/// <param name="NewTubes">Not here yet, of new lots and of ones that are here.</param>
/// <param name="Longer">Changes to add to tubes that are here.</param>
/// <param name="Same">Tubes to which nothing is to be added.</param>
internal sealed record StockComparison(
    IReadOnlyList<Lot> NewLots, IReadOnlyList<StockTube> NewTubes, IReadOnlyList<(string Label, IReadOnlyList<TubeChange> More)> Longer, int Same)
{
    private Dictionary<string, string> LotsHere { get; init; } = [];

    private HashSet<string> Foreign { get; init; } = [];

    /// <returns>The lot of the tube here that has the number of a tube which is another one; null when there is none.</returns>
    public string? Stranger(Tube tube)
    {
        var label = TubeNumber.Split(tube.Label).Label;
        return LotsHere.TryGetValue(label, out var lot) && (Foreign.Contains(label) || (tube.Lot is not null && tube.Lot != lot)) ? lot : null;
    }

    public static async Task<StockComparison> OfAsync(ArchiveFile archive, LotRenaming renaming, StockStore stock, List<ArchiveConflict> conflicts, CancellationToken cancellationToken)
    {
        var tubesHere = (await stock.TubesAsync(null, cancellationToken).ConfigureAwait(false)).ToDictionary(t => t.Label, StringComparer.Ordinal);
        var lotsHere = (await stock.LotsAsync(cancellationToken).ConfigureAwait(false)).Select(l => l.Lot).ToArray();
        List<Lot> newLots = [];
        List<StockTube> newTubes = [];
        List<(string, IReadOnlyList<TubeChange>)> longer = [];
        HashSet<string> foreign = new(StringComparer.Ordinal), seen = new(StringComparer.Ordinal);
        var same = 0;
        var archived = archive.Parts.ContainsKey(ArchivedStock.FileName) ? ArchiveDocuments.ReadStock(archive.Document(ArchivedStock.FileName), ArchivedStock.FileName) : [];
        renaming.RequireKnown(archived.Select(l => l.Lot.Name));
        foreach (var (lot, tubes) in archived.Select(l => renaming.Of(l.Lot, l.Tubes)))
        {
            foreach (var tube in tubes)
                if (!seen.Add(tube.Label)) throw ArchiveDocuments.Damaged(ArchivedStock.FileName, $"tube {tube.Label} stands in it twice");
            if (Against(lot, lotsHere) is { } conflict)
            {
                conflicts.Add(conflict);
                foreign.UnionWith(tubes.Select(t => t.Label));
                continue;
            }
            if (!lotsHere.Any(l => l.Name == lot.Name)) newLots.Add(lot);
            foreach (var tube in tubes)
            {
                if (!tubesHere.TryGetValue(tube.Label, out var here)) newTubes.Add(tube);
                else if (here.Lot != lot.Name)
                {
                    conflicts.Add(new("tube", tube.Label, $"of lot {here.Lot}", $"of lot {lot.Name}"));
                    foreign.Add(tube.Label);
                }
                else if (TubeComparison.Rest(here, tube) is not { } rest)
                {
                    conflicts.Add(new("tube", tube.Label, TubeComparison.Parting(here, tube), TubeComparison.Parting(tube, here)));
                }
                else if (rest.Count == 0) same++;
                else longer.Add((tube.Label, rest));
            }
        }
        return new(newLots, newTubes, longer, same) { LotsHere = tubesHere.ToDictionary(t => t.Key, t => t.Value.Lot, StringComparer.Ordinal), Foreign = foreign };
    }

    private static ArchiveConflict? Against(Lot there, Lot[] lotsHere)
    {
        if (lotsHere.FirstOrDefault(l => l.Name == there.Name) is { } named)
            return named == there ? null : new("lot", there.Name, Words(named), Words(there));
        return lotsHere.FirstOrDefault(l => l.Prefix == there.Prefix) is { } other
            ? new("lot", there.Name, $"numbers that begin with {there.Prefix} are those of lot {other.Name}", $"its numbers begin with {there.Prefix} too")
            : null;
    }

    private static string Words(Lot lot) =>
        FormattableString.Invariant($"{lot.TypeName ?? "mixed"}, numbers {lot.Prefix}-..., booked in {lot.BookedUtc:yyyy-MM-dd HH:mm} UTC{(lot.Origin is { } o ? $", from {o}" : "")}{(lot.Price is { } p ? $", {p}" : "")}{(lot.Note is { } n ? $", {n}" : "")}");
}
