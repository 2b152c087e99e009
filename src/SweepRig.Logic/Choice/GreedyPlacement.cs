namespace SweepRig.Logic.Choice;

/// <summary>A placement to begin with: positions with the fewest tubes first, each with the tube that leaves the row that is burdened most the lightest.</summary>
internal static class GreedyPlacement
{
    /// <param name="left">Tubes of each position.</param>
    /// <param name="costs">By row, position and tube.</param>
    /// <param name="share">What a cost of 1 V means to each row.</param>
    /// <returns>Null when the tubes left for a position stand elsewhere already.</returns>
    public static int[]? Of(int[][] left, double[][][] costs, double[] share)
    {
        var at = new int[left.Length];
        var burdens = new double[share.Length];
        var used = new HashSet<int>();
        foreach (var p in Enumerable.Range(0, left.Length).OrderBy(p => left[p].Length))
        {
            double Heaviest(int tube) => burdens.Select((b, row) => b + costs[row][p][tube] * share[row]).Max();
            int[] free = [.. left[p].Where(t => !used.Contains(t))];
            if (free.Length == 0) return null;
            at[p] = free.MinBy(Heaviest);
            used.Add(at[p]);
            for (var row = 0; row < share.Length; row++) burdens[row] += costs[row][p][at[p]] * share[row];
        }
        return at;
    }
}
