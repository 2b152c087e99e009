namespace SweepRig.Analysis.Matching;

/// <summary>Distances of all tubes, and of groups of them.</summary>
internal sealed class GroupDistances
{
    private readonly double[] _all;

    private GroupDistances(int count, double[] all) => (Count, _all) = (count, all);

    public int Count { get; }

    public double this[int i, int j] => _all[i * Count + j];

    public static GroupDistances Of(int count, Func<int, int, double> distance)
    {
        var all = new double[count * count];
        for (var i = 0; i < count; i++)
            for (var j = i + 1; j < count; j++)
            {
                var d = distance(i, j);
                if (!(d >= 0 && double.IsFinite(d))) throw new ArgumentException($"The distance of tubes {i} and {j} is {d}; give a finite number of 0 or more.", nameof(distance));
                all[i * count + j] = all[j * count + i] = d;
            }
        return new(count, all);
    }

    public double Sum(int[] group)
    {
        double sum = 0;
        for (var a = 0; a < group.Length; a++)
            for (var b = a + 1; b < group.Length; b++) sum += this[group[a], group[b]];
        return sum;
    }

    public double Worst(int[] group)
    {
        double worst = 0;
        for (var a = 0; a < group.Length; a++)
            for (var b = a + 1; b < group.Length; b++) worst = Math.Max(worst, this[group[a], group[b]]);
        return worst;
    }

    /// <summary>Of a tube to all members but one.</summary>
    public double To(int tube, int[] group, int but)
    {
        double sum = 0;
        for (var a = 0; a < group.Length; a++)
            if (a != but) sum += this[tube, group[a]];
        return sum;
    }

    /// <summary>The tubes nearest to one, nearest first.</summary>
    public int[] Nearest(int tube, int most, Func<int, bool>? among = null)
    {
        var others = Enumerable.Range(0, Count).Where(j => j != tube && (among is null || among(j))).ToArray();
        var keys = Array.ConvertAll(others, j => this[tube, j]);
        Array.Sort(keys, others);
        return others[..Math.Min(most, others.Length)];
    }
}
