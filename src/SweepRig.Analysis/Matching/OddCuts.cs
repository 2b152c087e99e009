namespace SweepRig.Analysis.Matching;

/// <summary>Odd sets of places out of which less than one pair leads (Padberg and Rao 1982, Mathematics of Operations Research 7, 67; from memory).</summary>
internal static class OddCuts
{
    private const double Whole = 1 - 1e-6;

    // Pairs below these parts are looked away from in turn: what then hangs together is often an odd set that is broken.
    private static readonly double[] Parts = [1e-7, 0.1, 0.3, 0.49];

    /// <summary>Broken sets; none only when there is none at all.</summary>
    public static IReadOnlyList<bool[]> Broken(int count, IReadOnlyList<(int First, int Second, double Part)> support)
    {
        List<bool[]> sets = [];
        foreach (var part in Parts)
        {
            Collect(Together(count, support.Where(s => s.Part > part)), support, sets);
            if (sets.Count > 0) return sets;
        }
        Collect(new CutTree(count, support).OddSets(), support, sets);
        return sets;
    }

    private static void Collect(IEnumerable<bool[]> candidates, IReadOnlyList<(int First, int Second, double Part)> support, List<bool[]> sets)
    {
        foreach (var inside in candidates)
        {
            if (inside.Count(i => i) % 2 == 0) continue;
            if (support.Where(s => inside[s.First] != inside[s.Second]).Sum(s => s.Part) < Whole && !sets.Exists(s => s.AsSpan().SequenceEqual(inside))) sets.Add(inside);
        }
    }

    private static IEnumerable<bool[]> Together(int count, IEnumerable<(int First, int Second, double Part)> edges)
    {
        var root = Enumerable.Range(0, count).ToArray();
        foreach (var (i, j, _) in edges) root[Root(i)] = Root(j);
        foreach (var group in Enumerable.Range(0, count).GroupBy(Root))
        {
            var inside = new bool[count];
            foreach (var i in group) inside[i] = true;
            yield return inside;
        }

        int Root(int i)
        {
            while (root[i] != i) i = root[i] = root[root[i]];
            return i;
        }
    }
}
