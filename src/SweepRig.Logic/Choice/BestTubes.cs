namespace SweepRig.Logic.Choice;

/// <summary>For each row by itself the tubes that help it most, as if each row could have its own and one tube could stand at many positions.</summary>
/// <remarks>
/// <para>No real placement does better in a row than this, so that a row which does not bear a noise even so, or not with a certain tube at a certain position, bears it with no
/// placement, or with none that has that tube there: what a bound is made of.</para>
/// <para>It holds where a tube that brings its own signal nearer to its side also helps whatever follows it. A chain of stages without reaction has that property exactly
/// (each stage falls steadily); dividers and grid currents load the stage before them a little, and there it is checked, by trying everything, on small cases only.</para>
/// </remarks>
internal sealed class BestTubes
{
    private const int Kept = 10, MostRounds = 4;
    private const double FirstShare = 0.8;

    private readonly ChoiceProblem _problem;
    private readonly BenchPool _pool;
    private readonly int[][][] _helpful;

    public BestTubes(ChoiceProblem problem, BenchPool pool)
    {
        (_problem, _pool) = (problem, pool);
        At = [.. problem.Rows.Select(_ => problem.Allowed.Select(a => a.Contains(problem.Reference) ? problem.Reference : a[0]).ToArray())];
        Volts = [.. problem.Rows.Select(r => r.Start)];
        Distances = new double[problem.Rows.Length];
        Limits = new double[problem.Rows.Length];
        _helpful = [.. problem.Rows.Select(_ => (int[][])[.. problem.Allowed])];
        pool.ForEach(problem.Rows.Length, (bench, row) =>
        {
            if (!bench.Holds(row, At[row], 0)) Begin(bench, row);
            Improve(bench, row, FirstShare * bench.Margin(row, At[row]), true);
            // At its very end the row may want others than further down.
            for (var round = 0; round < MostRounds; round++)
            {
                var before = Limits[row];
                Limits[row] = bench.Margin(row, At[row]);
                if (Limits[row] <= before) break;
                Improve(bench, row, Limits[row], false);
            }
        });
    }

    /// <summary>Tube of each position, for each row.</summary>
    public int[][] At { get; }

    /// <summary>Voltages of each row at the last noise.</summary>
    public double[][] Volts { get; }

    /// <summary>How far the signals of each row are on their sides at the last noise. Unit: V.</summary>
    public double[] Distances { get; }

    /// <summary>The greatest noise that each row bears.</summary>
    public double[] Limits { get; }

    /// <summary>Fits the tubes to another noise, below every limit.</summary>
    public void GoTo(double noise) => _pool.ForEach(_problem.Rows.Length, (bench, row) => Improve(bench, row, noise, false));

    // The usual tube does not do in this row: any other that does will.
    private void Begin(RowBench bench, int row)
    {
        for (var tube = 0; tube < _problem.Tubes.Length; tube++)
        {
            int[] all = [.. _problem.Allowed.Select(a => a.Contains(tube) ? tube : a[0])];
            if (!bench.Holds(row, all, 0)) continue;
            At[row] = all;
            return;
        }
    }

    private void Improve(RowBench bench, int row, double noise, bool shorten)
    {
        var at = At[row];
        if (!bench.Holds(row, at, noise)) return;
        var best = bench.Distance;
        var near = bench.Volts();
        for (var round = 0; round < MostRounds; round++)
        {
            var changed = false;
            for (var p = 0; p < at.Length; p++)
            {
                var kept = at[p];
                var seen = new List<(double Distance, int Tube)>();
                foreach (var tube in _helpful[row][p])
                {
                    at[p] = tube;
                    seen.Add((bench.Holds(row, at, noise, near) ? bench.Distance : double.NegativeInfinity, tube));
                }
                var first = seen.MaxBy(s => s.Distance);
                at[p] = first.Distance > best ? first.Tube : kept;
                changed |= at[p] != kept;
                best = Math.Max(best, first.Distance);
                if (shorten && round == 0) _helpful[row][p] = [.. seen.OrderByDescending(s => s.Distance).Take(Kept).Select(s => s.Tube)];
            }
            if (!changed) break;
        }
        Distances[row] = best;
        Volts[row] = bench.Holds(row, at, noise, near) ? bench.Volts() : near;
    }
}
