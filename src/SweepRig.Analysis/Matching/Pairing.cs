namespace SweepRig.Analysis.Matching;

/// <summary>Two tubes that are to match.</summary>
/// <param name="First">Place in the lot, the lower one.</param>
/// <param name="Second">Place in the lot.</param>
/// <param name="Distance">0 for tubes that are alike.</param>
public sealed record Pair(int First, int Second, double Distance);

/// <summary>All tubes of a lot in pairs, one left over when their number is odd.</summary>
/// <param name="Pairs">Nearest first.</param>
/// <param name="LeftOver">Null when the number is even.</param>
/// <param name="Total">Sum of the distances.</param>
/// <param name="Bound">No pairing has a smaller sum than this.</param>
public sealed record Pairing(IReadOnlyList<Pair> Pairs, int? LeftOver, double Total, double Bound)
{
    // Sums of a thousand distances as a linear program has them.
    private const double Same = 1e-7;

    /// <summary>Of the pair that is least alike; 0 where there is none.</summary>
    public double Worst => Pairs.Count == 0 ? 0 : Pairs[^1].Distance;

    /// <summary>True when it is proven that no pairing has a smaller sum.</summary>
    public bool IsProvenBest => Total - Bound <= Same * Math.Max(1, Math.Abs(Total));

    /// <summary>The pairing with the smallest sum of distances.</summary>
    /// <param name="count">Tubes, 2 or more.</param>
    /// <param name="distance">Of two places; the same both ways, finite, 0 or above.</param>
    /// <param name="mostRounds">Linear programs solved at most; when they do not suffice, what has been found is given with its bound.</param>
    /// <param name="cancellationToken">Ends the search; thrown as usual.</param>
    /// <exception cref="ArgumentException">Fewer than 2 tubes, or a distance that is none.</exception>
    public static Pairing Best(int count, Func<int, int, double> distance, int mostRounds = 400, CancellationToken cancellationToken = default)
    {
        var distances = new Distances(count, distance);
        return Least(distances, GreedyPairs.Of(distances), mostRounds, cancellationToken);
    }

    /// <summary>The pairing whose worst pair is as good as can be, proven, and of all those the one with the smallest sum; the bound is of their sums.</summary>
    /// <inheritdoc cref="Best" path="/param|/exception"/>
    public static Pairing BestWorst(int count, Func<int, int, double> distance, int mostRounds = 400, CancellationToken cancellationToken = default)
    {
        var all = new Distances(count, distance);
        var (most, mates) = WorstPair.Best(all, cancellationToken);
        return Least(new(count, distance) { Most = most }, mates, mostRounds, cancellationToken);
    }

    /// <summary>Always the nearest two that are left: what one would do by hand.</summary>
    /// <inheritdoc cref="Best" path="/param[@name='count']|/param[@name='distance']|/exception"/>
    public static Pairing Greedy(int count, Func<int, int, double> distance)
    {
        var distances = new Distances(count, distance);
        return Of(distances, GreedyPairs.Nearest(distances, []), 0);
    }

    private static Pairing Least(Distances distances, int[] start, int mostRounds, CancellationToken cancellationToken)
    {
        var found = new MatchingProgram(distances, start).Solve(mostRounds, cancellationToken);
        var mates = found.Mates ?? GreedyPairs.Completed(distances, found.Certain);
        var fits = distances.Sum(mates) <= distances.Sum(start) && !mates.Where((j, i) => !distances.Allows(i, j)).Any();
        return Of(distances, fits ? mates : start, found.Bound);
    }

    private static Pairing Of(Distances distances, int[] mates, double bound)
    {
        var pairs = new List<Pair>();
        int? left = null;
        for (var i = 0; i < distances.Tubes; i++)
        {
            if (mates[i] >= distances.Tubes) left = i;
            else if (mates[i] > i) pairs.Add(new(i, mates[i], distances[i, mates[i]]));
        }
        pairs.Sort((a, b) => a.Distance.CompareTo(b.Distance));
        return new(pairs, left, pairs.Sum(p => p.Distance), Math.Max(0, bound));
    }
}
