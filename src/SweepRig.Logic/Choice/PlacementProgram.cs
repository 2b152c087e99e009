using Google.OrTools.Sat;

namespace SweepRig.Logic.Choice;

/// <summary>Tubes at positions that cannot all be so together: of these at least one position needs a tube that is not named.</summary>
/// <param name="Noise">At which it was found; it stands at any above too.</param>
/// <param name="Places">Positions, each with its tubes.</param>
internal sealed record Conflict(double Noise, IReadOnlyList<(int Position, int[] Tubes)> Places);

/// <summary>One tube a position, no tube twice, no conflict whole: proposals by CP-SAT.</summary>
internal sealed class PlacementProgram
{
    // One worker and a limit counted in work, not in seconds, so that the same order has the same answer on every machine.
    private const string Polished = "num_workers:1,random_seed:1,cp_model_presolve:false,max_deterministic_time:0.3,relative_gap_limit:0.05", Any = "num_workers:1,random_seed:1,max_deterministic_time:4,stop_after_first_solution:true";
    private const double Fine = 1000;
    private const long MostWeight = 10_000_000;

    private readonly CpModel _model = new();
    private readonly Dictionary<int, BoolVar>[] _at;

    /// <param name="left">Tubes of each position.</param>
    public PlacementProgram(int[][] left, IEnumerable<Conflict> conflicts)
    {
        _at = [.. left.Select((tubes, p) => tubes.ToDictionary(t => t, t => _model.NewBoolVar($"p{p}t{t}")))];
        foreach (var position in _at) _model.AddExactlyOne(position.Values);
        foreach (var uses in _at.SelectMany(a => a).GroupBy(a => a.Key, a => a.Value)) _model.AddAtMostOne(uses);
        foreach (var (_, places) in conflicts)
            _model.Add(LinearExpr.Sum(places.SelectMany(p => p.Tubes.Where(_at[p.Position].ContainsKey).Select(t => _at[p.Position][t]))) <= places.Count - 1);
    }

    /// <summary>Makes the row that is burdened most as light as can be.</summary>
    /// <param name="costs">By row, position and tube.</param>
    /// <param name="share">What a cost of 1 V means to each row.</param>
    public PlacementProgram Lightly(double[][][] costs, double[] share)
    {
        var most = _model.NewIntVar(0, MostWeight * _at.Length, "most");
        for (var row = 0; row < costs.Length; row++) _model.Add(Sum((p, t) => costs[row][p][t] * share[row]) <= most);
        _model.Minimize(most);
        return this;
    }

    /// <summary>Makes a sum over positions and tubes as small as can be.</summary>
    public PlacementProgram With(Func<int, int, double> cost)
    {
        _model.Minimize(Sum(cost));
        return this;
    }

    /// <summary>Begins looking at a placement.</summary>
    public PlacementProgram From(int[] placement)
    {
        for (var p = 0; p < placement.Length; p++) _model.AddHint(_at[p][placement[p]], 1);
        return this;
    }

    /// <summary>Leaves out one placement.</summary>
    public PlacementProgram Without(int[] placement)
    {
        _model.Add(LinearExpr.Sum(placement.Select((t, p) => (p, t)).Where(c => _at[c.p].ContainsKey(c.t)).Select(c => _at[c.p][c.t])) <= placement.Length - 1);
        return this;
    }

    /// <returns>A tube for each position; null with <paramref name="none"/> when it is proven that there is none, and null alone when that stayed open.</returns>
    public int[]? Propose(out bool none, CancellationToken cancel)
    {
        none = false;
        foreach (var parameters in (ReadOnlySpan<string>)[Polished, Any])
        {
            cancel.ThrowIfCancellationRequested();
            var solver = new CpSolver { StringParameters = parameters };
            var status = solver.Solve(_model);
            if (status is CpSolverStatus.Optimal or CpSolverStatus.Feasible) return [.. _at.Select(p => p.First(t => solver.BooleanValue(t.Value)).Key)];
            none = status == CpSolverStatus.Infeasible;
            if (none) return null;
        }
        return null;
    }

    private LinearExpr Sum(Func<int, int, double> cost)
    {
        var terms = _at.SelectMany((tubes, p) => tubes.Select(t => (Variable: t.Value, Weight: (long)Math.Clamp(Fine * cost(p, t.Key), -MostWeight, MostWeight)))).ToList();
        return LinearExpr.WeightedSum(terms.Select(t => t.Variable), terms.Select(t => t.Weight));
    }
}
