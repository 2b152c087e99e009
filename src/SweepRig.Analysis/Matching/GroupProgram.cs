using Google.OrTools.LinearSolver;

namespace SweepRig.Analysis.Matching;

/// <summary>
/// Partition into groups as a linear program over all possible groups (set partitioning). Groups enter when their reduced cost asks for it; when none does, or by
/// what the most wanted one could save at most, the value bounds every grouping from below.
/// </summary>
internal sealed class GroupProgram
{
    /// <summary>Groups looked at in a round; more, and a round takes long.</summary>
    private const double MostGroups = 4e6;

    /// <summary>Groups that may enter the integer program.</summary>
    private const int MostIntegerGroups = 30_000;

    /// <summary>Groups that a better grouping is first sought among.</summary>
    private const int FirstIntegerGroups = 4_000;

    private const int FirstNeighbours = 6, MostRounds = 150;
    private const double Tiny = 1e-7;

    private readonly GroupDistances _distances;
    private readonly int _size, _groups;
    private double[] _price = [];
    private double _priceOfAll, _boundOfPrices;

    private GroupProgram(GroupDistances distances, int size) => (_distances, _size, _groups) = (distances, size, distances.Count / size);

    /// <summary>No grouping has a smaller sum.</summary>
    public double Bound { get; private set; }

    /// <returns>Null when there are too many possible groups.</returns>
    public static GroupProgram? Of(GroupDistances distances, int size, IReadOnlyList<int[]> start, CancellationToken cancellationToken)
    {
        if (Possible(distances.Count, size) > MostGroups) return null;
        var program = new GroupProgram(distances, size);
        program.Solve(start, cancellationToken);
        return program;
    }

    /// <summary>Looks for a better grouping: first among the most promising groups, then, where there are few enough, among all that could be in one.</summary>
    /// <returns>The best that is known, and whether it is proven that none is better.</returns>
    public (IReadOnlyList<int[]> Best, bool Proven) Improve(IReadOnlyList<int[]> start, double mostSeconds, CancellationToken cancellationToken)
    {
        if (!(mostSeconds > 0)) return (start, false);
        var best = start;
        if (Candidates(best, MostIntegerGroups, cancellationToken) is { IsAll: false, Groups: var promising })
            best = Integer([.. promising.Take(FirstIntegerGroups), .. best], best, mostSeconds / 2, cancellationToken).Best;
        var (groups, all) = Candidates(best, MostIntegerGroups, cancellationToken);
        return all ? Integer(groups, best, mostSeconds, cancellationToken) : (best, false);
    }

    // A grouping below the total holds no group whose reduced cost is above the gap to the bound that the same prices give, but for rounding. The cheapest first.
    private (IReadOnlyList<int[]> Groups, bool IsAll) Candidates(IReadOnlyList<int[]> best, int most, CancellationToken cancellationToken)
    {
        var total = best.Sum(_distances.Sum);
        var gap = total - _boundOfPrices + Tiny * Math.Max(1, total);
        var kept = new PriorityQueue<int[], double>();
        var all = true;
        foreach (var (group, cost) in Reduced(cancellationToken))
        {
            if (cost > gap) continue;
            if (kept.Count < most) kept.Enqueue([.. group], -cost);
            else
            {
                all = false;
                if (kept.TryPeek(out _, out var dearest) && -cost > dearest) kept.DequeueEnqueue([.. group], -cost);
            }
        }
        var sorted = new int[kept.Count][];
        for (var i = sorted.Length - 1; i >= 0; i--) sorted[i] = kept.Dequeue();
        return (sorted, all);
    }

    private (IReadOnlyList<int[]> Best, bool Proven) Integer(IReadOnlyList<int[]> columns, IReadOnlyList<int[]> best, double mostSeconds, CancellationToken cancellationToken)
    {
        using var solver = Solver.CreateSolver("SCIP") ?? throw new InvalidOperationException("OR-Tools has no integer solver here; its native library is missing.");
        solver.SetTimeLimit((long)(1000 * mostSeconds));
        var rows = Rows(solver);
        solver.Objective().SetMinimization();
        Variable[] taken = [.. columns.Select(g => Add(solver, rows, g, solver.MakeBoolVar("")))];
        using var stop = cancellationToken.Register(() => solver.InterruptSolve());
        var status = solver.Solve();
        cancellationToken.ThrowIfCancellationRequested();
        if (status is Solver.ResultStatus.INFEASIBLE) return (best, true);
        if (status is not (Solver.ResultStatus.OPTIMAL or Solver.ResultStatus.FEASIBLE)) return (best, false);
        int[][] found = [.. columns.Where((_, c) => taken[c].SolutionValue() > 0.5)];
        return (found.Sum(_distances.Sum) < best.Sum(_distances.Sum) - Tiny ? found : best, status == Solver.ResultStatus.OPTIMAL);
    }

    private static double Possible(int count, int size)
    {
        double all = 1;
        for (var k = 0; k < size; k++) all = all * (count - k) / (k + 1);
        return all;
    }

    private void Solve(IReadOnlyList<int[]> start, CancellationToken cancellationToken)
    {
        using var solver = Solver.CreateSolver("GLOP") ?? throw new InvalidOperationException("OR-Tools has no linear solver here; its native library is missing.");
        solver.Objective().SetMinimization();
        var rows = Rows(solver);
        var known = new HashSet<string>();
        foreach (var group in start) Enter(group);
        for (var i = 0; i < _distances.Count; i++)
            foreach (var j in _distances.Nearest(i, FirstNeighbours)) Enter([i, j, .. _distances.Nearest(i, _size, k => k != j)[..(_size - 2)]]);
        for (var round = 0; round < MostRounds; round++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (solver.Solve() != Solver.ResultStatus.OPTIMAL) return;
            _price = [.. rows.Tubes.Select(r => r.DualValue())];
            _priceOfAll = rows.All.DualValue();
            var wanted = new (double Cost, int[]? Group)[_distances.Count];
            var least = 0.0;
            foreach (var (group, cost) in Reduced(cancellationToken))
            {
                if (cost >= -Tiny) continue;
                least = Math.Min(least, cost);
                if (group.Any(i => cost < wanted[i].Cost)) Keep(wanted, [.. group], cost);
            }
            _boundOfPrices = solver.Objective().Value() + _groups * least;
            Bound = round == 0 ? _boundOfPrices : Math.Max(Bound, _boundOfPrices);
            if (least >= -Tiny || !wanted.Select(w => w.Group).OfType<int[]>().Distinct().ToArray().Select(Enter).ToArray().Any(e => e)) return;
        }

        bool Enter(int[] group)
        {
            if (!known.Add(string.Join(' ', group.Order()))) return false;
            Add(solver, rows, group, solver.MakeNumVar(0, double.PositiveInfinity, ""));
            return true;
        }
    }

    private static void Keep((double Cost, int[]? Group)[] wanted, int[] group, double cost)
    {
        foreach (var i in group)
            if (cost < wanted[i].Cost) wanted[i] = (cost, group);
    }

    private (Constraint[] Tubes, Constraint All) Rows(Solver solver)
    {
        var left = _distances.Count % _size > 0;
        return ([.. Enumerable.Range(0, _distances.Count).Select(_ => solver.MakeConstraint(left ? 0 : 1, 1))], solver.MakeConstraint(_groups, _groups));
    }

    private Variable Add(Solver solver, (Constraint[] Tubes, Constraint All) rows, int[] group, Variable variable)
    {
        solver.Objective().SetCoefficient(variable, _distances.Sum(group));
        foreach (var i in group) rows.Tubes[i].SetCoefficient(variable, 1);
        rows.All.SetCoefficient(variable, 1);
        return variable;
    }

    /// <summary>All possible groups with their reduced costs; the array is the same for all.</summary>
    private IEnumerable<(int[] Group, double Cost)> Reduced(CancellationToken cancellationToken)
    {
        var group = new int[_size];
        var cost = new double[_size + 1];
        cost[0] = -_priceOfAll;
        var depth = 0;
        group[0] = -1;
        while (depth >= 0)
        {
            if (++group[depth] > _distances.Count - (_size - depth))
            {
                depth--;
                continue;
            }
            if (depth == 0) cancellationToken.ThrowIfCancellationRequested();
            var sum = cost[depth] - _price[group[depth]];
            for (var k = 0; k < depth; k++) sum += _distances[group[k], group[depth]];
            if (depth == _size - 1) yield return (group, sum);
            else
            {
                cost[depth + 1] = sum;
                depth++;
                group[depth] = group[depth - 1];
            }
        }
    }
}
