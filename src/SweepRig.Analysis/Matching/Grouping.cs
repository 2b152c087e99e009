namespace SweepRig.Analysis.Matching;

/// <summary>Tubes that are to match, two or more.</summary>
/// <param name="Members">Places in the lot, the lowest first.</param>
/// <param name="Sum">Of the distances of all its pairs.</param>
/// <param name="Worst">The largest of them.</param>
public sealed record TubeGroup(IReadOnlyList<int> Members, double Sum, double Worst);

/// <summary>A lot in groups of one size.</summary>
/// <param name="Groups">The nearest first.</param>
/// <param name="LeftOver">Places of those that make no whole group.</param>
/// <param name="Total">Sum over all groups.</param>
/// <param name="Bound">No grouping has a smaller sum than this.</param>
public sealed record Grouping(IReadOnlyList<TubeGroup> Groups, IReadOnlyList<int> LeftOver, double Total, double Bound)
{
    /// <summary>Largest group.</summary>
    public const int MostMembers = 8;

    /// <summary>Most tubes that are put into groups at once: exchanges of all with all are looked at.</summary>
    public const int MostTubes = 1_000;

    // Sums of some hundred distances as a linear program has them.
    private const double Same = 1e-6;

    /// <summary>True when it is proven that no grouping has a smaller sum.</summary>
    public bool IsProvenBest => Total - Bound <= Same * Math.Max(1, Math.Abs(Total));

    /// <summary>
    /// Groups whose pairs have a small sum of distances. To find the smallest is hard for groups of three and more (no quick way is known): a good grouping is found by exchanges,
    /// and where the number of possible groups allows it a linear program over them all bounds what could be better, and integer programs over those that could mend it find a better one, or the best.
    /// </summary>
    /// <param name="count">Tubes, <paramref name="size"/> up to <see cref="MostTubes"/>.</param>
    /// <param name="size">Of a group, 3 up to <see cref="MostMembers"/>; pairs are <see cref="Pairing"/>.</param>
    /// <param name="distance">Of two places; the same both ways, finite, 0 or above.</param>
    /// <param name="mostSeconds">Time for the integer programs, about; with 0 the grouping stands with its bound.</param>
    /// <param name="cancellationToken">Ends the search; thrown as usual.</param>
    /// <exception cref="ArgumentException">Too few or too many tubes, a size out of range, or a distance that is none.</exception>
    public static Grouping Best(int count, int size, Func<int, int, double> distance, double mostSeconds = 20, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(distance);
        if (size is < 3 or > MostMembers) throw new ArgumentException($"The groups are to have {size} tubes; 3 to {MostMembers} are allowed.", nameof(size));
        if (count < size || count > MostTubes) throw new ArgumentException($"There are {count} tubes; groups of {size} need {size} to {MostTubes}.", nameof(count));
        var distances = GroupDistances.Of(count, distance);
        var start = GroupExchange.Of(distances, size, cancellationToken);
        var total = start.Sum(distances.Sum);
        var program = GroupProgram.Of(distances, size, start, cancellationToken);
        if (program is null) return Of(distances, start, SimpleBound(distances, size));
        var bound = Math.Max(program.Bound, SimpleBound(distances, size));
        if (total - bound <= Same * Math.Max(1, total)) return Of(distances, start, bound);
        var (best, proven) = program.Improve(start, mostSeconds, cancellationToken);
        return Of(distances, best, proven ? best.Sum(distances.Sum) : bound);
    }

    // Each tube of a group has size - 1 others in it, and none nearer than its nearest; those left over are the ones with the farthest.
    private static double SimpleBound(GroupDistances distances, int size)
    {
        var nearest = Enumerable.Range(0, distances.Count).Select(i => distances.Nearest(i, size - 1).Sum(j => distances[i, j])).Order().ToArray();
        return nearest[..(distances.Count / size * size)].Sum() / 2;
    }

    private static Grouping Of(GroupDistances distances, IReadOnlyList<int[]> groups, double bound)
    {
        var used = groups.SelectMany(g => g).ToHashSet();
        TubeGroup[] given = [.. groups.Select(g => new TubeGroup([.. g.Order()], distances.Sum(g), distances.Worst(g))).OrderBy(g => g.Sum)];
        var total = given.Sum(g => g.Sum);
        return new(given, [.. Enumerable.Range(0, distances.Count).Where(i => !used.Contains(i))], total, Math.Min(bound, total));
    }
}
