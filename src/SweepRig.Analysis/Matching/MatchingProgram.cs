using Google.OrTools.LinearSolver;

namespace SweepRig.Analysis.Matching;

/// <summary>
/// Perfect matching of least weight as a linear program (Edmonds 1965): every place has one mate, and out of every odd set at least one pair leads. Pairs enter
/// when their reduced cost asks for it and odd sets when they are broken, so that of millions a few thousand are ever looked at; when neither is left over the
/// solution is the best of all pairings, and its duals are the proof.
/// </summary>
internal sealed class MatchingProgram
{
    private const int FirstNeighbours = 8;
    private const double Tiny = 1e-7;

    private readonly Distances _distances;
    private readonly Solver _solver;
    private readonly Constraint[] _one;
    private readonly Dictionary<(int, int), Variable> _pairs = [];
    private readonly List<(bool[] Inside, Constraint Constraint)> _odd = [];

    public MatchingProgram(Distances distances, int[] start)
    {
        _distances = distances;
        _solver = Solver.CreateSolver("GLOP") ?? throw new InvalidOperationException("OR-Tools has no linear solver here; its native library is missing.");
        _one = [.. Enumerable.Range(0, distances.Count).Select(_ => _solver.MakeConstraint(1, 1))];
        _solver.Objective().SetMinimization();
        for (var i = 0; i < distances.Count; i++)
        {
            Add(i, start[i]);
            foreach (var j in distances.Nearest(i, FirstNeighbours)) Add(i, j);
        }
    }

    /// <param name="Mates">The best pairing; null when the rounds did not suffice.</param>
    /// <param name="Certain">Pairs that are whole in the last solution.</param>
    /// <param name="Bound">No pairing has a smaller sum.</param>
    public sealed record Found(int[]? Mates, IReadOnlyList<(int, int)> Certain, double Bound);

    public Found Solve(int mostRounds, CancellationToken cancellationToken)
    {
        var bound = 0.0;
        List<(int First, int Second, double Part)> support = [];
        for (var round = 0; round < mostRounds; round++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (_solver.Solve() != Solver.ResultStatus.OPTIMAL) break;
            support = [.. _pairs.Where(p => p.Value.SolutionValue() > Tiny).Select(p => (p.Key.Item1, p.Key.Item2, p.Value.SolutionValue()))];
            if (PriceIn()) continue;
            bound = _solver.Objective().Value();
            if (support.All(s => s.Part > 1 - Tiny)) return new(Mates(support), [], bound);
            if (!CutOff(support)) break;
        }
        return new(null, [.. support.Where(s => s.Part > 1 - Tiny).Select(s => (s.First, s.Second))], bound);
    }

    private void Add(int i, int j)
    {
        var key = i < j ? (i, j) : (j, i);
        if (_pairs.ContainsKey(key)) return;
        var pair = _solver.MakeNumVar(0, double.PositiveInfinity, "");
        _solver.Objective().SetCoefficient(pair, _distances[i, j]);
        _one[i].SetCoefficient(pair, 1);
        _one[j].SetCoefficient(pair, 1);
        foreach (var (inside, constraint) in _odd)
            if (inside[i] != inside[j]) constraint.SetCoefficient(pair, 1);
        _pairs.Add(key, pair);
    }

    // Pairs that would make the sum smaller, the most wanted of each place.
    private bool PriceIn()
    {
        var n = _distances.Count;
        var price = Array.ConvertAll(_one, c => c.DualValue());
        var sets = _odd.Select(o => (o.Inside, Price: o.Constraint.DualValue())).Where(o => o.Price > 0).ToArray();
        // A pair that leads out of an odd set helps to pay for it: at most what all sets around both its places cost.
        var around = new double[n];
        foreach (var (inside, paid) in sets)
            for (var i = 0; i < n; i++)
                if (inside[i]) around[i] += paid;
        List<(int, int)> wanted = [];
        for (var i = 0; i < n; i++)
        {
            var (least, mate) = (-Tiny, -1);
            for (var j = 0; j < n; j++)
            {
                var cost = _distances[i, j] - price[i] - price[j];
                if (j == i || !_distances.Allows(i, j) || cost - around[i] - around[j] >= least) continue;
                foreach (var (inside, paid) in sets)
                    if (inside[i] != inside[j]) cost -= paid;
                if (cost < least && !_pairs.ContainsKey(i < j ? (i, j) : (j, i))) (least, mate) = (cost, j);
            }
            if (mate >= 0) wanted.Add((i, mate));
        }
        foreach (var (i, j) in wanted) Add(i, j);
        return wanted.Count > 0;
    }

    private bool CutOff(List<(int First, int Second, double Part)> support)
    {
        var sets = OddCuts.Broken(_distances.Count, support);
        foreach (var inside in sets)
        {
            var constraint = _solver.MakeConstraint(1, double.PositiveInfinity);
            foreach (var ((i, j), pair) in _pairs)
                if (inside[i] != inside[j]) constraint.SetCoefficient(pair, 1);
            _odd.Add((inside, constraint));
        }
        return sets.Count > 0;
    }

    private int[] Mates(List<(int First, int Second, double Part)> support)
    {
        var mates = new int[_distances.Count];
        foreach (var (i, j, _) in support) (mates[i], mates[j]) = (j, i);
        return mates;
    }
}
