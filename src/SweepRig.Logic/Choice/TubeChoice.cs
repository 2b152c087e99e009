using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;

namespace SweepRig.Logic.Choice;

/// <summary>Chooses tubes of a stock for the positions of a network so that its worst margin is largest.</summary>
/// <remarks>
/// Each tube is used once. Among placements with the greatest margin followers get the tubes with the least emission, for a follower asks little of its cathode. The same order gives
/// the same placement on any machine.
/// </remarks>
public static class TubeChoice
{
    // What is given away for tubes that are better kept. Unit: V.
    private const double Small = 1e-3;

    // Everything but followers: only where these do not care. Unit: 1/V.
    private const double Aside = 1e-3;

    /// <returns>Refused, with every reason, when the order is wrong, tubes are too few, or no placement is right in all rows.</returns>
    public static Outcome<TubeChoiceResult> Run(ChoiceOrder order, CancellationToken cancel = default) => Run(order, null, cancel);

    /// <summary>The same, followed.</summary>
    /// <param name="progress">Share of the work, rising; it ends early when nothing is left open.</param>
    public static Outcome<TubeChoiceResult> Run(ChoiceOrder order, IProgress<double>? progress, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(order);
        var made = ChoiceProblem.Of(order, cancel);
        if (made.Value is not { } problem) return Outcome<TubeChoiceResult>.Refuse(made.Refusals);
        var pool = new BenchPool(problem, cancel);
        var parts = new WorkParts(progress);
        var search = new ChoiceSearch(problem, pool, cancel);
        parts.Part(0, 0.1)(1);
        var exchange = new PlacementExchange(problem, pool);
        search.Begin(exchange, parts.Part(0.1, 0.3));
        var begun = search.Placement;
        search.Run(parts.Part(0.3, 0.8));
        if (search.Placement is not { } best || search.Margin <= 0) return Outcome<TubeChoiceResult>.Refuse(NoPlacement(problem, search));
        var isFirm = GateTable.FedBack(order.Network).Count == 0;
        var isDone = isFirm && search.IsClosed || best == begun;
        var (better, gained) = isDone ? (best, search.Margin) : exchange.Better(best, search.Margin, parts.Part(0.8, 0.85));
        var found = best;
        best = gained > search.Margin ? better : SparingFollowers(problem, search, best);
        var (chosen, margin) = Measure(problem, pool, best);
        var spares = new SpareFinder(problem, pool, best, margin).Find();
        parts.Part(0.85, 0.9)(1);
        TubePlacement[] others = [.. new[] { Other(problem, search, best, spares, parts.Part(0.9, 1)), gained > search.Margin ? found : null }.OfType<int[]>().Select(o => Measure(problem, pool, o).Placement)];
        var runnerUp = others.MaxBy(o => o.MarginVolts);
        var check = NetworkChecker.Check(order.Network, position => problem.Tubes[best[Array.IndexOf(problem.Positions, position)]].Part!, problem.Levels, cancel);
        return Outcome<TubeChoiceResult>.Accept(new(
            chosen, Math.Max(search.Bound, margin), isFirm, runnerUp, spares,
            [.. order.Stock.Where(t => t.Part is null).Select(t => new TubeLeftOut(t.Number, "it has no model", ChoiceChecks.Remedy(t)))],
            problem.Levels, check, pool.Solutions));
    }

    private static (TubePlacement Placement, double Margin) Measure(ChoiceProblem problem, BenchPool pool, int[] tubes)
    {
        var margin = pool.With(b => b.Margin(tubes, out _));
        var numbers = new OrderedDictionary<string, string>(StringComparer.Ordinal);
        for (var p = 0; p < tubes.Length; p++) numbers.Add(problem.Positions[p], problem.Tubes[tubes[p]].Number);
        return (new(numbers, margin), margin);
    }

    // The chosen one with its best spare is where the look begins.
    private static int[]? Other(ChoiceProblem problem, ChoiceSearch search, int[] best, IReadOnlyDictionary<string, IReadOnlyList<TubeSpare>> spares, Action<double> progress)
    {
        if (!spares.Any(s => s.Value.Count > 0)) return search.Other(best, null, 0, progress);
        var (position, spare) = spares.Where(s => s.Value.Count > 0).Select(s => (s.Key, s.Value[0])).MaxBy(s => s.Item2.MarginVolts);
        int[] other = [.. best];
        other[Array.IndexOf(problem.Positions, position)] = Array.FindIndex(problem.Tubes, t => t.Number == spare.Number);
        return search.Other(best, other, spare.MarginVolts, progress);
    }

    private static int[] SparingFollowers(ChoiceProblem problem, ChoiceSearch search, int[] best)
    {
        var followers = problem.Order.Network.Gates.Where(g => g.Kind == GateKind.Follower).SelectMany(g => g.Positions).ToHashSet(StringComparer.Ordinal);
        if (followers.Count == 0) return best;
        var most = problem.Models.Max(m => m.SaturationCurrent);
        return search.Cheapest(search.Margin - Small, (p, t) => followers.Contains(problem.Positions[p]) ? problem.Models[t].SaturationCurrent / most : Aside * search.Burden(p, t)) ?? best;
    }

    private static Refusal NoPlacement(ChoiceProblem problem, ChoiceSearch search)
    {
        var (position, left) = search.Scarcest();
        return new("no-placement", "", $"with none of the {problem.Tubes.Length} tubes that can be used is {problem.Order.Network.Name} right in all {problem.Rows.Length} rows",
            $"the worst margin must be above 0 V; it can be {Engineering.Format(Math.Max(0, search.Bound), "V", 3)} at most",
            left == 0 ? $"No tube does at {position}: choose other values there, or sweep more tubes." : "Choose other values, unpin tubes, or sweep more tubes.");
    }
}
