namespace SweepRig.Analysis.Matching;

/// <summary>The smallest distance such that all tubes can be paired without going beyond it (bottleneck matching, by bisection over the distances that occur).</summary>
internal static class WorstPair
{
    /// <returns>That distance, and a pairing that keeps to it. That none is smaller is proven: with the next smaller one no perfect matching exists.</returns>
    public static (double Most, int[] Mates) Best(Distances distances, CancellationToken cancellationToken)
    {
        var n = distances.Count;
        var mates = GreedyPairs.Of(distances);
        // Nobody can do better than its nearest, but for the one that is left over.
        var nearest = Enumerable.Range(0, distances.Tubes).Select(i => Enumerable.Range(0, distances.Tubes).Where(j => j != i).Min(j => distances[i, j])).Order().ToArray();
        var low = n == distances.Tubes ? nearest[^1] : nearest[^2];
        var high = Enumerable.Range(0, n).Max(i => distances[i, mates[i]]);
        var steps = new List<double>();
        for (var i = 0; i < distances.Tubes; i++)
            for (var j = i + 1; j < distances.Tubes; j++)
                if (distances[i, j] >= low && distances[i, j] <= high) steps.Add(distances[i, j]);
        double[] sorted = [.. steps.Distinct().Order()];
        int from = 0, to = sorted.Length - 1;
        while (from < to)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var middle = (from + to) / 2;
            var found = new GreatestMatching(n, Neighbours(distances, sorted[middle]), mates, cancellationToken);
            if (found.IsPerfect) (to, mates) = (middle, found.Mates);
            else from = middle + 1;
        }
        return (sorted[to], mates);
    }

    private static int[][] Neighbours(Distances distances, double most) =>
    [
        .. Enumerable.Range(0, distances.Count).Select(i => Enumerable.Range(0, distances.Count).Where(j => j != i && distances[i, j] <= most).OrderBy(j => distances[i, j]).ToArray()),
    ];
}
