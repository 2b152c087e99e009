using SweepRig.Analysis.Grading;

namespace SweepRig.Analysis.Matching;

/// <summary>What a spare has to keep: limits that stand by themselves, or nearness to the tube that it replaces.</summary>
/// <param name="Quantity">Which.</param>
/// <param name="Lowest">Limit that stands by itself, in the unit of the quantity; null for none.</param>
/// <param name="Highest">The same from above.</param>
/// <param name="Tolerance">Most that it may differ from the tube replaced, above 0; null where limits stand by themselves.</param>
public sealed record KeptQuantity(NamedQuantity Quantity, double? Lowest, double? Highest, double? Tolerance);

/// <summary>A tube that could replace another.</summary>
/// <param name="Place">Among the candidates.</param>
/// <param name="Chance">Under all that is to be kept, quantity by quantity in the order asked.</param>
/// <param name="Distance">Root mean square of the ways from the middle of the allowed range, each over half of the range; dimensionless. Null where a value is missing or a range has one end.</param>
public sealed record SpareCandidate(int Place, GradeChance Chance, double? Distance);

/// <summary>Finds tubes that keep a circuit within its limits when they replace another. Pure.</summary>
public static class SpareFinder
{
    /// <param name="kept">1 or more.</param>
    /// <param name="replaced">Number of the tube that is replaced, for people.</param>
    /// <param name="own">Its figures; needed for what has a tolerance. The uncertainty of both tubes counts in the difference.</param>
    /// <param name="candidates">Figures of each, by quantity.</param>
    /// <param name="guard">Guard band in expanded uncertainties, see <see cref="Conformity.Of"/>.</param>
    /// <returns>All candidates: those that are sure first, then those that are undecided, by their probability; those that break a limit; those not measured.</returns>
    /// <exception cref="ArgumentException">Nothing is to be kept, or the tube that is replaced lacks a value with which a tolerance begins.</exception>
    public static IReadOnlyList<SpareCandidate> Rank(
        IReadOnlyList<KeptQuantity> kept, string replaced, IReadOnlyDictionary<string, Figure> own, IReadOnlyList<IReadOnlyDictionary<string, Figure>> candidates,
        double guard = Conformity.UsualGuard)
    {
        ArgumentNullException.ThrowIfNull(kept);
        ArgumentNullException.ThrowIfNull(own);
        ArgumentNullException.ThrowIfNull(candidates);
        if (kept.Count == 0) throw new ArgumentException("There is nothing to keep; name one quantity or more.", nameof(kept));
        if (kept.FirstOrDefault(k => k.Tolerance is not null && own.GetValueOrDefault(k.Quantity.Word)?.Value is null) is { } lacking)
            throw new ArgumentException($"{replaced} has no {lacking.Quantity.Word}; sweep it, or give limits of your own.", nameof(own));
        return
        [
            .. candidates.Select((figures, place) => One(place, [.. kept.Select(k => Judge(k, replaced, own, figures, guard))]))
                .OrderBy(c => Rank(c.Chance.Decision)).ThenByDescending(c => c.Chance.Probably ?? 0).ThenBy(c => c.Distance ?? double.PositiveInfinity),
        ];
    }

    private static int Rank(Decision decision) => decision switch
    {
        Decision.Accept => 0,
        Decision.Undecided => 1,
        Decision.Reject => 2,
        _ => 3,
    };

    private static SpareCandidate One(int place, IReadOnlyList<Conformity> judged)
    {
        var ways = judged.Select(j => j is { Value.Value: { } y, Limit: { Lowest: { } low, Highest: { } high } } ? (y - (low + high) / 2) / ((high - low) / 2) : (double?)null).ToArray();
        return new(place, GradeChance.Of(judged), ways.Any(w => w is null) ? null : Math.Sqrt(ways.Average(w => w!.Value * w.Value)));
    }

    private static Conformity Judge(KeptQuantity kept, string replaced, IReadOnlyDictionary<string, Figure> own, IReadOnlyDictionary<string, Figure> figures, double guard)
    {
        var (word, unit, _) = kept.Quantity;
        var value = figures.GetValueOrDefault(word) ?? Figure.None(unit, "not measured");
        if (kept.Tolerance is not { } tolerance) return Conformity.Of(new(word, unit, kept.Lowest, kept.Highest), value, guard);
        return Conformity.Of(new($"{word} less that of {replaced}", unit, -tolerance, tolerance), Likeness.Difference(value, own[word]), guard);
    }
}
