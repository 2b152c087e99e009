namespace SweepRig.Analysis.Matching;

/// <summary>Groups that are quickly found: the nearest that are left, again and again, then exchanges of two tubes as long as they help.</summary>
internal static class GroupExchange
{
    private const double Tiny = 1e-12;

    public static IReadOnlyList<int[]> Of(GroupDistances distances, int size, CancellationToken cancellationToken)
    {
        var groups = Nearest(distances, size, cancellationToken);
        var used = groups.SelectMany(g => g).ToHashSet();
        int[] left = [.. Enumerable.Range(0, distances.Count).Where(i => !used.Contains(i))];
        bool better;
        do
        {
            cancellationToken.ThrowIfCancellationRequested();
            better = false;
            for (var g = 0; g < groups.Count; g++)
            {
                for (var h = g + 1; h < groups.Count; h++) better |= Exchange(distances, groups[g], groups[h]);
                better |= Replace(distances, groups[g], left);
            }
        }
        while (better);
        return groups;
    }

    // Of each tube with those that are left the sum is kept, and worked out anew only when one of its own was taken.
    private static List<int[]> Nearest(GroupDistances distances, int size, CancellationToken cancellationToken)
    {
        var free = Enumerable.Repeat(true, distances.Count).ToArray();
        var groups = new List<int[]>();
        var queue = new PriorityQueue<int[], double>();
        for (var i = 0; i < distances.Count; i++) Put(i);
        while (groups.Count < distances.Count / size && queue.TryDequeue(out var group, out _))
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (!free[group[0]]) continue;
            if (group.Any(i => !free[i]))
            {
                Put(group[0]);
                continue;
            }
            groups.Add(group);
            foreach (var i in group) free[i] = false;
        }
        return groups;

        void Put(int i)
        {
            int[] group = [i, .. distances.Nearest(i, size - 1, j => free[j])];
            if (group.Length == size) queue.Enqueue(group, distances.Sum(group));
        }
    }

    private static bool Exchange(GroupDistances distances, int[] one, int[] other)
    {
        var better = false;
        for (var a = 0; a < one.Length; a++)
            for (var b = 0; b < other.Length; b++)
            {
                var now = distances.To(one[a], one, a) + distances.To(other[b], other, b);
                var then = distances.To(other[b], one, a) + distances.To(one[a], other, b);
                if (then >= now - Tiny) continue;
                (one[a], other[b]) = (other[b], one[a]);
                better = true;
            }
        return better;
    }

    private static bool Replace(GroupDistances distances, int[] group, int[] left)
    {
        var better = false;
        for (var a = 0; a < group.Length; a++)
            for (var b = 0; b < left.Length; b++)
            {
                if (distances.To(left[b], group, a) >= distances.To(group[a], group, a) - Tiny) continue;
                (group[a], left[b]) = (left[b], group[a]);
                better = true;
            }
        return better;
    }
}
