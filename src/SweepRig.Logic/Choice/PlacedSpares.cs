using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Choice;

/// <summary>What could stand in for each tube of a network that has its tubes already, all others staying where they are.</summary>
/// <param name="MarginVolts">Of the network as it is; 0 when it is wrong in a row. Unit: V.</param>
/// <param name="Spares">By position, the best first. Margins are those that <see cref="NetworkChecker"/> finds once the spare is in.</param>
public sealed record PlacedSpares(double MarginVolts, IReadOnlyDictionary<string, IReadOnlyList<TubeSpare>> Spares)
{
    /// <param name="placed">For each place of <see cref="GateNetwork.Positions"/>.</param>
    /// <param name="free">Numbered tubes to take spares from; one that is placed is passed over.</param>
    /// <param name="most">Spares to name for each position.</param>
    /// <returns>Refused when none of all the tubes restores levels, or there are too many cases.</returns>
    public static Outcome<PlacedSpares> Find(GateNetwork network, Func<string, TubePart> placed, IReadOnlyList<TubePart> free, int most, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(placed);
        ArgumentNullException.ThrowIfNull(free);
        string Name(string position) => placed(position).Number ?? $"example at {position}";
        TubePart[] others = [.. free.Where(t => network.Positions.All(p => !string.Equals(placed(p).Number, t.Number, StringComparison.OrdinalIgnoreCase)))];
        var order = new ChoiceOrder(network, [.. network.Positions.Select(p => new ChoiceTube(Name(p), placed(p))), .. others.Select(t => new ChoiceTube(t.Number!, t))])
        {
            Spares = most, Levels = StageTransfer.Levels(network, placed).Value,
        };
        var made = ChoiceProblem.Of(order, cancel);
        if (made.Value is not { } problem) return Outcome<PlacedSpares>.Refuse(made.Refusals);
        int[] now = [.. problem.Positions.Select(p => Array.FindIndex(problem.Tubes, t => t.Number == Name(p)))];
        var pool = new BenchPool(problem, cancel);
        var ranked = new SpareFinder(problem, pool, now, pool.With(b => b.Margin(now, out _))).Find();
        // The levels of the inputs are those that the tube of the first place restores: there each tube is looked at with its own.
        var first = network.Positions[0];
        var parts = others.ToDictionary(t => t.Number!, StringComparer.OrdinalIgnoreCase);
        (string Position, TubePart Tube)[] cases = [.. others.Select(t => (first, t)), .. ranked.Where(r => r.Key != first).SelectMany(r => r.Value.Select(s => (r.Key, parts[s.Number])))];
        var margins = new double[cases.Length];
        Parallel.For(0, cases.Length, new ParallelOptions { CancellationToken = cancel }, n => margins[n] = Margin(network, p => p == cases[n].Position ? cases[n].Tube : placed(p), cancel));
        return Outcome<PlacedSpares>.Accept(new(Margin(network, placed, cancel), network.Positions.ToDictionary(p => p, p => (IReadOnlyList<TubeSpare>)
            [.. cases.Select((c, n) => (c, n)).Where(c => c.c.Position == p && margins[c.n] > 0).OrderByDescending(c => margins[c.n]).Take(most).Select(c => new TubeSpare(c.c.Tube.Number!, margins[c.n]))])));
    }

    private static double Margin(GateNetwork network, Func<string, TubePart> tube, CancellationToken cancel) => NetworkChecker.Check(network, tube, cancel).Value?.WorstMarginVolts ?? 0;
}
