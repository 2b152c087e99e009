using SweepRig.Domain.Stock;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Stock;

/// <summary>What is to be booked in, as it was typed.</summary>
/// <param name="Name">Of the lot.</param>
/// <param name="Type">Of all its tubes; null for mixed.</param>
/// <param name="Prefix">Null for that of the lot if it is there, and else the letters and digits of its name.</param>
/// <param name="Origin">Where they come from.</param>
/// <param name="Price">With its currency.</param>
/// <param name="Note">Anything else.</param>
public sealed record Booking(string Name, string? Type, string? Prefix, string? Origin, string? Price, string? Note)
{
    /// <summary>The lot that is meant, new or there already. It may have faults.</summary>
    public async Task<Lot> LotAsync(StockStore store, TypeCatalogue types, TimeProvider clock, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(store);
        ArgumentNullException.ThrowIfNull(clock);
        var name = Name.Trim();
        var there = (await store.LotsAsync(cancellationToken)).FirstOrDefault(l => l.Lot.Name == name).Lot;
        return new(
            name, Filled(Prefix)?.ToUpperInvariant() ?? there?.Prefix ?? Lot.PrefixOf(name) ?? "", Known(types)?.Name ?? Filled(Type), Filled(Origin), Filled(Price), Filled(Note), clock.GetUtcNow());
    }

    /// <summary>What is to be known of the type before such tubes are touched or swept.</summary>
    public IEnumerable<string> Remarks(TypeCatalogue types)
    {
        if (Known(types)?.Caution is { } caution) yield return caution;
        if (Filled(Type) is { } type && Known(types) is null) yield return $"The catalogue does not know type {type}: no limits of it are checked. Check the designation.";
    }

    private TubeType? Known(TypeCatalogue types) => Filled(Type) is { } type ? types.Find(type) : null;

    private static string? Filled(string? text) => string.IsNullOrWhiteSpace(text) ? null : text.Trim();
}
