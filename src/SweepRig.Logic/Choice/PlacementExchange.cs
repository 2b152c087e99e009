namespace SweepRig.Logic.Choice;

/// <summary>Betters a placement by exchanging tubes with one another or with those left over, as long as one exchange gains anything; where there are few placements it looks at all.</summary>
/// <remarks>The search before it leaves out tubes by what they do beside the best others; in a circuit that holds itself others can be better beside them.</remarks>
internal sealed class PlacementExchange(ChoiceProblem problem, BenchPool pool)
{
    // A gain below this is none. Unit: V.
    private const double Gain = 1e-3;

    /// <summary>Placements that are all looked at.</summary>
    private const int Few = 2_000;

    private readonly int[][]? _all = All(problem);

    // The row that turned an exchange down goes first with the next: most fail in the same.
    private int _hardest;

    public (int[] Placement, double Margin) Better(int[] placement, double margin)
    {
        while (true)
        {
            int[][] others = [.. _all ?? Neighbours(placement)];
            if (others.Length == 0) return (placement, margin);
            var margins = new double[others.Length];
            var wanted = margin + Gain;
            var near = new double[problem.Rows.Length][];
            pool.ForEach(near.Length, (bench, row) => near[row] = bench.Holds(row, placement, margin) ? bench.Volts() : problem.Rows[row].Start);
            pool.ForEach(others.Length, (bench, n) => margins[n] = _all is not null || Holds(bench, others[n], wanted, near) ? bench.Margin(others[n], out _) : double.NegativeInfinity);
            var best = Array.IndexOf(margins, margins.Max());
            if (!(margins[best] >= wanted)) return (placement, margin);
            (placement, margin) = (others[best], margins[best]);
            if (_all is not null) return (placement, margin);
        }
    }

    private static int[][]? All(ChoiceProblem problem)
    {
        List<int[]> begun = [[]];
        foreach (var allowed in problem.Allowed)
        {
            begun = [.. begun.SelectMany(b => allowed.Where(t => !b.Contains(t)).Select(t => (int[])[.. b, t])).Take(Few + 1)];
            if (begun.Count > Few) return null;
        }
        return [.. begun];
    }

    private bool Holds(RowBench bench, int[] at, double margin, double[][] near)
    {
        var first = _hardest;
        for (var n = 0; n < near.Length; n++)
        {
            var row = (first + n) % near.Length;
            if (bench.Holds(row, at, margin, near[row])) continue;
            _hardest = row;
            return false;
        }
        return true;
    }

    private IEnumerable<int[]> Neighbours(int[] placement)
    {
        for (var p = 0; p < placement.Length; p++)
        {
            if (problem.Allowed[p].Length == 1) continue;
            foreach (var tube in problem.Allowed[p])
            {
                var other = Array.IndexOf(placement, tube);
                if (other >= 0 && (other <= p || problem.Allowed[other].Length == 1)) continue;
                int[] at = [.. placement];
                at[p] = tube;
                if (other >= 0) at[other] = placement[p];
                yield return at;
            }
        }
    }
}
