using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Domain.Tubes;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Stock;

/// <summary>A tube for a bench, with what the stock knows of it.</summary>
/// <param name="Tube">For the run.</param>
/// <param name="Known">As it is in the stock; null when the stock does not have it.</param>
/// <param name="Remarks">What an operator should hear before it is swept.</param>
public sealed record StockedTube(Tube Tube, StockTube? Known, IReadOnlyList<string> Remarks)
{
    /// <summary>
    /// What is said counts, for it is read on the glass now; what is not said comes from the stock. Where the two disagree the run keeps what was said, and it is remarked.
    /// </summary>
    /// <param name="stock">Null when there is none.</param>
    /// <param name="typed">The number, with its section if one is meant.</param>
    /// <param name="type">As said; null when nothing was.</param>
    /// <param name="lot">As said; null when nothing was.</param>
    /// <returns>The tube, or the reason why its type is not known.</returns>
    public static async Task<Outcome<StockedTube>> OfAsync(StockStore? stock, TypeCatalogue types, string typed, string? type, string? lot, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(types);
        var number = TubeNumber.Of(typed);
        var known = stock is null ? null : await stock.FindAsync(number.Label, cancellationToken);
        // A tube that the stock does not have keeps its label as it was written.
        var label = known is null ? typed.Trim() : number.ToString();
        if ((type ?? known?.TypeName) is not { } named)
        {
            return Outcome<StockedTube>.Refuse(known is null
                ? new Refusal("type-missing", "/type", $"{label} is to be measured and no type was said", "the stock has none of that number to take it from", "Add --type, or book the tube in.")
                : new Refusal("type-missing", "/type", $"{label} is to be measured and no type was said", "the stock does not know its type yet", $"Add --type, or say it once: sweeprig stock identify {known.Label} TYPE."));
        }
        var tube = new Tube(label, types.Find(named) is { } found && type is null ? found.Name : named, lot ?? known?.Lot);
        return Outcome<StockedTube>.Accept(new(tube, known, [.. Disagreements(known, types, type, lot), .. Sections(types.Find(named), number)]));
    }

    private static IEnumerable<string> Disagreements(StockTube? known, TypeCatalogue types, string? type, string? lot)
    {
        if (known is null) yield break;
        if (type is not null && known.TypeName is { } before && !Same(types, type, before))
            yield return $"The stock says that {known.Label} is {Article(before)}, and {type} was said: the run keeps {type}. If the glass says so: sweeprig stock identify {known.Label} {type}.";
        if (lot is not null && lot != known.Lot)
            yield return $"The stock has {known.Label} in lot {known.Lot}, and lot {lot} was said: the run keeps {lot}. Check the number on the tube.";
        if (known.State == TubeState.Retired) yield return $"{known.Label} is retired: {known.History.Last(h => h.Kind == TubeChangeKind.Retired).Text}.";
        if (known.InUseAt is { } use) yield return $"{known.Label} should be in use at {use}. If it was pulled: sweeprig stock free {known.Label} WHY.";
    }

    // Which section the rig reaches is a matter of the socket's wiring: the operator says it and is told what it takes.
    private static IEnumerable<string> Sections(TubeType? type, TubeNumber number)
    {
        if (type is null) yield break;
        var sections = TubeSection.Of(type);
        if (sections.Count > 0 && number.Section is null)
            yield return $"{type.Name} has {sections.Count} sections, and none was said. To judge each for itself: {string.Join(" or ", sections.Select(s => $"--tube {number with { Section = s.Number }}"))}.";
        if (number.Section is { } n && sections.FirstOrDefault(s => s.Number == n) is { } section)
            yield return $"Section {n} is the {section.Name}: {string.Join(", ", section.Pins.Select(p => FormattableString.Invariant($"{p.Electrode} on pin {p.Pin}")))}. The socket's adapter must lead these to the rig.";
    }

    private static bool Same(TypeCatalogue types, string one, string other) =>
        string.Equals(types.Find(one)?.Name ?? one.Trim(), types.Find(other)?.Name ?? other.Trim(), StringComparison.OrdinalIgnoreCase);

    private static string Article(string type) => $"{(type.Length > 0 && "AEFHILMNORSX8".Contains(char.ToUpperInvariant(type[0]), StringComparison.Ordinal) ? "an" : "a")} {type}";
}
