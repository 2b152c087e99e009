namespace SweepRig.Logic.Choice;

/// <summary>Betters a placement by exchanging tubes with one another or with those left over, as long as one exchange gains anything; where there are few placements it looks at all.</summary>
/// <remarks>
/// The search before it leaves out tubes by what they do beside the best others; in a circuit that holds itself others can be better beside them. Exchanges are tried in the order of the
/// room that they give the row that goes first; where some of them gain, the best of those tried together with them is taken, and all are looked at anew from there.
/// </remarks>
internal sealed class PlacementExchange(ChoiceProblem problem, BenchPool pool)
{
    // A gain below this is none. Unit: V.
    private const double Gain = 1e-3;

    /// <summary>Placements that are all looked at.</summary>
    private const int Few = 2_000;

    /// <summary>Exchanges that are tried together: a fixed number, so that the same one is taken on any machine.</summary>
    private const int Together = 64;

    // Room is compared where the network still has some: at its very end hardly any exchange holds.
    private const double LookShare = 0.95;

    private readonly int[][]? _all = All(problem);

    // The row that turned an exchange down goes first with the next: most fail in the same. It hurries the answer and does not change it.
    private int _hardest;

    /// <summary>There are so few placements that the best of all is found, wherever it begins.</summary>
    public bool LooksAtAll => _all is not null;

    /// <param name="progress">Share of the work, not always rising.</param>
    public (int[] Placement, double Margin) Better(int[] placement, double margin, Action<double> progress)
    {
        if (_all is { } all) return Best(all, margin, (_, _) => true) ?? (placement, margin);
        for (var left = 1.0; Step(placement, margin, part => progress(1 - left * (1 - 0.5 * part))) is { } better; left *= 0.5) (placement, margin) = better;
        return (placement, margin);
    }

    private (int[] Placement, double Margin)? Step(int[] placement, double margin, Action<double> tried)
    {
        var first = 0;
        pool.With(b => b.Margin(placement, out first));
        var (near, room) = (States(placement, margin), States(placement, LookShare * margin)[first]);
        int[][] others = [.. Neighbours(placement)];
        var rooms = new double[others.Length];
        pool.ForEach(others.Length, (bench, n) => rooms[n] = bench.Holds(first, others[n], LookShare * margin, room) ? bench.Distance : double.NegativeInfinity);
        (others, _hardest) = ([.. others.Select((at, n) => (at, n)).OrderByDescending(o => rooms[o.n]).Select(o => o.at)], first);
        var done = 0;
        foreach (var some in others.Chunk(Together))
        {
            if (Best(some, margin, (bench, at) => Holds(bench, at, margin + Gain, near)) is { } better) return better;
            tried((double)(done += some.Length) / others.Length);
        }
        return null;
    }

    private (int[] Placement, double Margin)? Best(int[][] others, double margin, Func<RowBench, int[], bool> isWorthIt)
    {
        var margins = new double[others.Length];
        pool.ForEach(others.Length, (bench, n) => margins[n] = isWorthIt(bench, others[n]) ? bench.Margin(others[n], out _) : double.NegativeInfinity);
        var best = Array.IndexOf(margins, margins.Max());
        return margins[best] >= margin + Gain ? (others[best], margins[best]) : null;
    }

    private double[][] States(int[] placement, double noise)
    {
        var states = new double[problem.Rows.Length][];
        pool.ForEach(states.Length, (bench, row) => states[row] = bench.Holds(row, placement, noise) ? bench.Volts() : problem.Rows[row].Start);
        return states;
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
