namespace SweepRig.Logic.Choice;

/// <summary>Which tubes that are left over could stand in for each chosen one.</summary>
internal sealed class SpareFinder(ChoiceProblem problem, BenchPool pool, int[] chosen, double margin)
{
    // Spares are first ranked where the network still has some room, then the foremost are measured.
    private const double LookShare = 0.9;
    private const int Measured = 3;

    public IReadOnlyDictionary<string, IReadOnlyList<TubeSpare>> Find()
    {
        var cases = problem.Allowed.SelectMany((tubes, p) => tubes.Where(t => tubes.Length > 1 && !chosen.Contains(t)).Select(t => (Position: p, Tube: t))).ToArray();
        var room = new double[cases.Length];
        pool.ForEach(cases.Length, (bench, n) => room[n] = Room(bench, cases[n].Position, cases[n].Tube));
        var foremost = cases.Select((c, n) => (Case: c, Room: room[n])).Where(c => c.Room > double.NegativeInfinity).GroupBy(c => c.Case.Position)
            .SelectMany(g => g.OrderByDescending(c => c.Room).Take(problem.Order.Spares * Measured)).Select(c => c.Case).ToArray();
        var margins = new double[foremost.Length];
        pool.ForEach(foremost.Length, (bench, n) => margins[n] = bench.Margin(With(foremost[n].Position, foremost[n].Tube), out _));
        var spares = new OrderedDictionary<string, IReadOnlyList<TubeSpare>>(StringComparer.Ordinal);
        for (var p = 0; p < problem.Positions.Length; p++)
        {
            spares.Add(problem.Positions[p],
                [.. foremost.Select((c, n) => (c, n)).Where(c => c.c.Position == p && margins[c.n] > 0).OrderByDescending(c => margins[c.n]).Take(problem.Order.Spares)
                    .Select(c => new TubeSpare(problem.Tubes[c.c.Tube].Number, margins[c.n]))]);
        }
        return spares;
    }

    // The least that all signals together lose in any row; rows that do not hold there are counted after all that do.
    private double Room(RowBench bench, int position, int tube)
    {
        var at = With(position, tube);
        var least = double.PositiveInfinity;
        for (var row = 0; row < problem.Rows.Length; row++)
        {
            if (bench.Holds(row, at, LookShare * margin)) least = Math.Min(least, bench.Distance);
            else if (bench.Holds(row, at, 0)) least = Math.Min(least, -1);
            else return double.NegativeInfinity;
        }
        return least;
    }

    private int[] With(int position, int tube)
    {
        int[] at = [.. chosen];
        at[position] = tube;
        return at;
    }
}
