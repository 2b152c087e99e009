namespace SweepRig.Logic.Choice;

/// <summary>Narrows down the greatest worst margin between what a placement was found to have and what is proven to be out of reach.</summary>
/// <remarks>
/// At each noise a program proposes placements and the solver tries them on the whole network. What fails is cut down to the few tubes that fail even beside the best ones; they, and
/// others in their places that fail too, are never proposed together again (Benders' cuts by logic; Hooker and Ottosson 2003, Math. Program. 96, 33, from memory). When nothing is left to
/// propose, that noise is out of reach.
/// </remarks>
internal sealed class ChoiceSearch
{
    // One noise may use up one part of the proposals.
    private const int Parts = 4;

    // Positions with a tube each that all proposals are allowed for.
    private const int FewPairs = 800;

    private const double Near = 2e-3, FirstShare = 0.93, LeastShare = 0.02;

    // Where a tube is weighed says which one is taken: exchanges lead from different ones to different ends.
    private static readonly double[] GuessShares = [0.6, 0.7, 0.8, 0.9];

    private readonly ChoiceProblem _problem;
    private readonly BenchPool _pool;
    private readonly CancellationToken _cancel;
    private readonly BestTubes _best;
    private readonly SingleTubes _singles;
    private readonly List<Conflict> _conflicts = [];
    private readonly int _proposals;
    private int _left;
    private Action<double> _progress = _ => { };

    public ChoiceSearch(ChoiceProblem problem, BenchPool pool, CancellationToken cancel)
    {
        (_problem, _pool, _cancel) = (problem, pool, cancel);
        _best = new(problem, pool);
        _singles = new(problem, pool, _best);
        Bound = _best.Limits.Min() + RowBench.MarginStep;
        // A proposal takes longer the more tubes there are for the positions.
        var pairs = problem.Allowed.Sum(a => a.Length);
        _proposals = Math.Max(Parts, (int)Math.Min(problem.Order.MostProposals, (long)problem.Order.MostProposals * FewPairs / pairs));
    }

    /// <summary>No placement has a greater margin. Unit: V.</summary>
    public double Bound { get; private set; }

    /// <summary>The best placement so far: a tube for each position; null when none is right in all rows.</summary>
    public int[]? Placement { get; private set; }

    /// <summary>Its margin. Unit: V.</summary>
    public double Margin { get; private set; }

    /// <summary>Nothing is left open between the margin and the bound.</summary>
    public bool IsClosed => Bound - Margin <= Near;

    /// <summary>Begins with the best of some placements made up without looking at whole ones, each bettered.</summary>
    /// <param name="progress">Share of them that is done.</param>
    public void Begin(PlacementExchange exchange, Action<double> progress)
    {
        for (var n = 0; n < GuessShares.Length; n++)
        {
            Look(GuessShares[n] * Bound, out var left, out var share);
            if (GreedyPlacement.Of(left, _singles.Costs, share) is { } guess && _pool.With(b => b.Margin(guess, out _)) is > 0 and var margin)
            {
                var (better, reached) = exchange.Better(guess, margin, _ => { });
                if (reached > Margin) (Placement, Margin) = (better, reached);
                if (exchange.LooksAtAll) return;
            }
            progress((n + 1.0) / GuessShares.Length);
        }
    }

    /// <param name="progress">Share of the proposals that may be tried; it ends early when nothing is left open.</param>
    public void Run(Action<double> progress)
    {
        _progress = progress;
        Exclude();
        _left = _proposals;
        // Between the margin and this it is open whether there is a better placement; above it, up to the bound, it stayed open.
        var open = Bound;
        for (var noise = Math.Max(FirstShare * open, 0.5 * (Margin + open)); open - Margin > Near && _left > _proposals / 2; noise = 0.5 * (Margin + open))
        {
            if (TryAt(noise, out var none) is null) open = noise;
            if (none) Bound = noise;
        }
        // What is left goes into the bound: the nearer to it, the fewer tubes are left.
        for (open = Math.Max(open, Margin); Bound - open > Near && _left > 0;)
        {
            var noise = 0.5 * (open + Bound);
            if (TryAt(noise, out var none) is not null || !none) open = noise;
            else Bound = noise;
        }
        Bound = Math.Max(Bound, Margin);
    }

    // Where a position has no tube left nothing need be proposed.
    private void Exclude()
    {
        for (var low = Margin; Bound - low > Near;)
        {
            var noise = 0.5 * (low + Bound);
            if (IsExcluded(noise, out _, out _)) Bound = noise;
            else low = noise;
        }
    }

    // A row bears it with no tubes, or a position has no tube left.
    private bool IsExcluded(double noise, out int[][] left, out double[] share)
    {
        (left, share) = ([], []);
        if (_best.Limits.Any(l => l + RowBench.MarginStep < noise)) return true;
        Look(noise, out left, out share);
        return left.Any(l => l.Length == 0);
    }

    /// <summary>Looks for the best placement but one.</summary>
    /// <param name="other">One that is known already; null when none is.</param>
    /// <param name="margin">Its margin.</param>
    /// <returns>Null when there is no other that is right in all rows.</returns>
    public int[]? Other(int[] best, int[]? other, double margin, Action<double> progress)
    {
        if (_problem.Allowed.All(a => a.Length == 1)) return null;
        (_left, _progress) = (_proposals / Parts, progress);
        var open = Margin;
        for (var noise = Margin - 0.5 * Near; open - margin > Near && _left > 0; noise = 0.5 * (margin + open))
        {
            if (Try(noise, best, null, ref other, ref margin, out _) is null) open = noise;
        }
        return other;
    }

    /// <summary>Looks for a placement that bears a noise and costs least.</summary>
    /// <param name="cost">By position and tube.</param>
    public int[]? Cheapest(double noise, Func<int, int, double> cost)
    {
        _left = _proposals / Parts;
        return TryAt(noise, out _, cost);
    }

    /// <summary>The position with the fewest tubes that were not excluded at the last noise.</summary>
    public (string Position, int Left) Scarcest() => _problem.Positions.Select((name, p) => (name, _singles.Left(p).Length)).MinBy(p => p.Length);

    /// <summary>What a tube at a position costs all rows together at the last noise. Unit: V.</summary>
    public double Burden(int position, int tube) => _singles.Costs.Sum(row => row[position][tube]);

    private int[]? TryAt(double noise, out bool none, Func<int, int, double>? cost = null)
    {
        var (best, margin) = (Placement, Margin);
        var found = Try(noise, null, cost, ref best, ref margin, out none);
        (Placement, Margin) = (best, margin);
        return found;
    }

    private int[]? Try(double noise, int[]? without, Func<int, int, double>? cost, ref int[]? best, ref double most, out bool none)
    {
        none = IsExcluded(noise, out var left, out var share);
        if (none) return null;
        for (var round = 0; round < Math.Max(1, _proposals / Parts) && _left > 0; round++, _left--)
        {
            var program = new PlacementProgram(left, _conflicts.Where(c => c.Noise <= noise));
            if (without is not null) program.Without(without);
            if (GreedyPlacement.Of(left, _singles.Costs, share) is { } begin) program.From(begin);
            var proposal = (cost is null ? program.Lightly(_singles.Costs, share) : program.With(cost)).Propose(out none, _cancel);
            if (proposal is null) return null;
            var margin = _pool.With(b => b.Margin(proposal, out _));
            _progress(1 - (double)_left / _proposals);
            if (margin > most) (best, most) = (proposal, margin);
            if (margin >= noise) return proposal;
            Learn(proposal, noise);
        }
        return null;
    }

    private void Look(double noise, out int[][] left, out double[] share)
    {
        _best.GoTo(noise);
        _singles.GoTo(noise);
        left = [.. Enumerable.Range(0, _problem.Positions.Length).Select(_singles.Left)];
        share = [.. _best.Limits.Select(l => 1 / Math.Max(l - noise, LeastShare * l))];
    }

    // From every row that fails.
    private void Learn(int[] proposal, double noise)
    {
        var found = new IReadOnlyList<Conflict>[_problem.Rows.Length];
        _pool.ForEach(found.Length, (bench, row) =>
        {
            found[row] = bench.Holds(row, proposal, noise) ? [] : Shrink(bench, row, proposal, noise);
        });
        _conflicts.AddRange(found.SelectMany(c => c));
        // Where the margin ended within its last step, no row need fail here: this placement alone is out then.
        if (found.All(c => c.Count == 0)) _conflicts.Add(new(noise, [.. proposal.Select((t, p) => (p, (int[])[t]))]));
    }

    // The least harmful go first. Of what is left one tube after another is exchanged for worse ones, each tried: which tube is worse hangs on the others.
    private List<Conflict> Shrink(RowBench bench, int row, int[] proposal, double noise)
    {
        int[] at = [.. proposal];
        var costs = _singles.Costs[row];
        var blamed = Enumerable.Range(0, at.Length).OrderBy(p => costs[p][at[p]]).ToList();
        foreach (var position in blamed.ToArray())
        {
            var kept = at[position];
            at[position] = _best.At[row][position];
            if (bench.Holds(row, at, noise)) at[position] = kept;
            else blamed.Remove(position);
        }
        return [.. blamed.Select(varied => new Conflict(noise, [.. blamed.Select(p => (p, p == varied ? Failing(bench, row, at, p, noise) : [at[p]]))]))];
    }

    private int[] Failing(RowBench bench, int row, int[] conflict, int position, double noise)
    {
        int[] at = [.. conflict];
        var costs = _singles.Costs[row][position];
        var failing = new List<int> { conflict[position] };
        foreach (var tube in _problem.Allowed[position])
        {
            if (tube == conflict[position] || !(costs[tube] >= costs[conflict[position]])) continue;
            at[position] = tube;
            if (!bench.Holds(row, at, noise)) failing.Add(tube);
        }
        return [.. failing];
    }
}
