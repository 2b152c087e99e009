namespace SweepRig.Logic.Choice;

/// <summary>What each tube at each position costs each row, the best tubes everywhere else.</summary>
internal sealed class SingleTubes
{
    private readonly ChoiceProblem _problem;
    private readonly BenchPool _pool;
    private readonly BestTubes _best;
    private readonly (int Position, int Tube)[] _cases;
    private readonly int[] _hardest;
    private readonly double[] _failsAt;

    public SingleTubes(ChoiceProblem problem, BenchPool pool, BestTubes best)
    {
        (_problem, _pool, _best) = (problem, pool, best);
        _cases = [.. problem.Allowed.SelectMany((tubes, position) => tubes.Select(tube => (position, tube)))];
        _hardest = new int[_cases.Length];
        _failsAt = [.. _cases.Select(_ => double.PositiveInfinity)];
        Costs = [.. problem.Rows.Select(_ => (double[][])[.. problem.Positions.Select(_ => new double[problem.Tubes.Length])])];
    }

    /// <summary>By row, position and tube: how much nearer to the threshold all signals together are than with the best tube. Unit: V; NaN where the tube is excluded.</summary>
    public double[][][] Costs { get; }

    /// <summary>Looks at another noise; <see cref="BestTubes.GoTo"/> first.</summary>
    public void GoTo(double noise) => _pool.ForEach(_cases.Length, (bench, n) =>
    {
        var (position, tube) = _cases[n];
        if (noise >= _failsAt[n] || !Measure(bench, n, noise))
        {
            _failsAt[n] = Math.Min(_failsAt[n], noise);
            foreach (var row in Costs) row[position][tube] = double.NaN;
        }
    });

    /// <summary>Tubes that are not excluded at a position.</summary>
    public int[] Left(int position) => [.. _problem.Allowed[position].Where(t => !double.IsNaN(Costs[0][position][t]))];

    private bool Measure(RowBench bench, int n, double noise)
    {
        var (position, tube) = _cases[n];
        Span<int> at = stackalloc int[_problem.Positions.Length];
        // The row that excluded a tube like this before goes first.
        for (var k = 0; k < _problem.Rows.Length; k++)
        {
            var row = (k + _hardest[n]) % _problem.Rows.Length;
            _best.At[row].CopyTo(at);
            at[position] = tube;
            if (!bench.Holds(row, at, noise, _best.Volts[row]))
            {
                _hardest[n] = row;
                return false;
            }
            Costs[row][position][tube] = Math.Max(0, _best.Distances[row] - bench.Distance);
        }
        return true;
    }
}
