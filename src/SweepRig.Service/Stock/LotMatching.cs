using SweepRig.Analysis.Matching;
using SweepRig.Domain;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Stock;

/// <summary>Pairs and groups of a lot, in the words of the contract. Pure.</summary>
public static class LotMatching
{
    /// <summary>Matched by where nobody names a quantity.</summary>
    public const string Usual = LotSummaries.Usual;

    /// <param name="basis">What they are matched by.</param>
    /// <param name="worst">True: the worst pair as good as can be, and then the smallest sum; false: the smallest sum.</param>
    /// <param name="cancellationToken">The asker has gone.</param>
    public static PairingView Pairs(MatchBasis basis, bool worst, CancellationToken cancellationToken)
    {
        var tubes = basis.Usable;
        var pairing = worst
            ? Pairing.BestWorst(tubes.Count, basis.Distance, cancellationToken: cancellationToken)
            : Pairing.Best(tubes.Count, basis.Distance, cancellationToken: cancellationToken);
        return new(
            [.. pairing.Pairs.Select(p => new PairView(tubes[p.First].Label, tubes[p.Second].Label, p.Distance, basis.Says(p.First, p.Second), basis.Differences(p.First, p.Second)))],
            pairing.LeftOver is { } left ? tubes[left].Label : null, pairing.Total, pairing.Bound, pairing.IsProvenBest, pairing.Worst, worst, basis.Scale, basis.NotMeasured, basis.Remarks);
    }

    /// <param name="basis">What they are matched by.</param>
    /// <param name="size">Tubes of a group, 3 up to <see cref="Grouping.MostMembers"/>.</param>
    /// <param name="cancellationToken">The asker has gone.</param>
    /// <returns>The groups; or that there are too many tubes for it.</returns>
    public static Outcome<GroupingView> Groups(MatchBasis basis, int size, CancellationToken cancellationToken)
    {
        var tubes = basis.Usable;
        if (tubes.Count > Grouping.MostTubes)
        {
            return Outcome<GroupingView>.Refuse(new Refusal(
                "too-many-tubes", "/lot", $"{tubes.Count} tubes in groups of {size}", $"at most {Grouping.MostTubes} are put into groups at once", "Grade the lot first and put aside what is in use, or make pairs."));
        }
        var grouping = Grouping.Best(tubes.Count, size, basis.Distance, cancellationToken: cancellationToken);
        return Outcome<GroupingView>.Accept(new(
            [.. grouping.Groups.Select(g => new TubeGroupView([.. g.Members.Select(m => tubes[m].Label)], g.Sum, g.Worst, Says(basis, g)))],
            [.. grouping.LeftOver.Select(m => tubes[m].Label)], grouping.Total, grouping.Bound, grouping.IsProvenBest, basis.Scale, basis.NotMeasured, basis.Remarks));
    }

    private static string Says(MatchBasis basis, TubeGroup group)
    {
        var pairs = group.Members.SelectMany((a, i) => group.Members.Skip(i + 1).Select(b => (First: a, Second: b)));
        var (first, second) = pairs.MaxBy(p => basis.Distance(p.First, p.Second));
        return $"{basis.Usable[first].Label} and {basis.Usable[second].Label} least alike: {basis.Says(first, second)}";
    }
}
