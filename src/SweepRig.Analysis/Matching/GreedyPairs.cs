namespace SweepRig.Analysis.Matching;

/// <summary>Pairings that are quickly found and mostly a few per cent off the best.</summary>
internal static class GreedyPairs
{
    private const int Neighbours = 12;

    /// <summary>The nearest two that are left, again and again, then exchanges of partners as long as they help.</summary>
    /// <returns>For each place its mate.</returns>
    public static int[] Of(Distances distances) => Completed(distances, []);

    /// <summary>The same around pairs that are given.</summary>
    public static int[] Completed(Distances distances, IEnumerable<(int First, int Second)> given)
    {
        var mates = Nearest(distances, given);
        Exchange(distances, mates);
        return mates;
    }

    public static int[] Nearest(Distances distances, IEnumerable<(int First, int Second)> given)
    {
        var n = distances.Count;
        var mates = new int[n];
        Array.Fill(mates, -1);
        foreach (var (i, j) in given) (mates[i], mates[j]) = (j, i);
        var free = Enumerable.Range(0, n).Where(i => mates[i] < 0).ToArray();
        var edges = new List<(double Distance, int First, int Second)>(free.Length * free.Length / 2);
        for (var a = 0; a < free.Length; a++)
            for (var b = a + 1; b < free.Length; b++) edges.Add((distances[free[a], free[b]], free[a], free[b]));
        // The place of the one left over is at no distance from any: it must choose last, or it would take anyone.
        edges.Sort((a, b) => (a.Second >= distances.Tubes, a.Distance, a.First, a.Second).CompareTo((b.Second >= distances.Tubes, b.Distance, b.First, b.Second)));
        foreach (var (_, i, j) in edges)
            if (mates[i] < 0 && mates[j] < 0) (mates[i], mates[j]) = (j, i);
        return mates;
    }

    private static void Exchange(Distances distances, int[] mates)
    {
        var near = Enumerable.Range(0, distances.Count).Select(i => distances.Nearest(i, Neighbours)).ToArray();
        bool better;
        do
        {
            better = false;
            for (var i = 0; i < mates.Length; i++)
                foreach (var j in near[i])
                {
                    var (p, q) = (mates[i], mates[j]);
                    if (j == p) continue;
                    if (distances[i, j] + distances[p, q] >= distances[i, p] + distances[j, q] - 1e-12) continue;
                    (mates[i], mates[j], mates[p], mates[q]) = (j, i, q, p);
                    better = true;
                }
        }
        while (better);
    }
}
