using System.Collections.Concurrent;
using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Search;

/// <summary>What a stage may take, over all tubes and inputs. Null where nothing is limited.</summary>
/// <param name="GridAmps">Grid current at an input of the rail voltage.</param>
/// <param name="PlateWatts">Dissipation of a plate.</param>
/// <param name="ScreenWatts">Dissipation of a screen.</param>
/// <param name="CathodeAmps">Cathode current.</param>
/// <param name="ResistorWatts">Dissipation of the plate resistor.</param>
public sealed record StageLimits(double? GridAmps = null, double? PlateWatts = null, double? ScreenWatts = null, double? CathodeAmps = null, double? ResistorWatts = null)
{
    /// <summary>The first limit that a burden goes beyond, or null.</summary>
    internal string? Broken(in StageBurden burden) =>
        burden.GridAmps > GridAmps ? "grid current" : burden.PlateWatts > PlateWatts ? "plate dissipation" : burden.ScreenWatts > ScreenWatts ? "screen dissipation"
        : burden.CathodeAmps > CathodeAmps ? "cathode current" : burden.ResistorWatts > ResistorWatts ? "plate resistor" : null;
}

/// <summary>What is searched.</summary>
/// <param name="Rails">Of the stage.</param>
/// <param name="Values">Everything that is not searched: screen resistor, stopper, connection.</param>
/// <param name="Tubes">Every tube that may stand in a stage; the margin holds for any of them anywhere.</param>
/// <param name="FanOut">Stages that each stage feeds.</param>
/// <param name="Plate">Plate resistors to choose from. Unit: ohm.</param>
/// <param name="Upper">Upper resistors of the divider.</param>
/// <param name="Lower">Lower resistors of the divider.</param>
/// <param name="Limits">What must not be gone beyond.</param>
public sealed record SearchOrder(
    GateRails Rails, StageValues Values, IReadOnlyList<TubePart> Tubes, int FanOut, IReadOnlyList<double> Plate, IReadOnlyList<double> Upper, IReadOnlyList<double> Lower, StageLimits Limits)
{
    /// <summary>Inputs at which each stage is solved.</summary>
    public int Points { get; init; } = 43;

    /// <summary>Of every stage.</summary>
    public StageShape Shape { get; init; } = StageShape.Inverter;

    /// <summary>Half width of the resistors' tolerance, as a share: 0.05 for 5 %. The margin then holds for every resistor within it, each by itself. 0 to below 1.</summary>
    public double ResistorTolerance { get; init; }
}

/// <summary>The best values, and what stood in the way of better ones.</summary>
/// <param name="Best">The resistors.</param>
/// <param name="MarginVolts">That every stage has with any of the tubes.</param>
/// <param name="Low">Highest low level with any of them.</param>
/// <param name="High">Lowest high level.</param>
/// <param name="Burden">The worst of all tubes and inputs.</param>
/// <param name="Binding">Limits that kept better values out, each with the margin of the best of those.</param>
/// <param name="Looked">Combinations of values there were.</param>
/// <param name="Solved">Stages that were swept: what the search cost.</param>
public sealed record SearchResult(StageResistors Best, double MarginVolts, double Low, double High, StageBurden Burden, IReadOnlyDictionary<string, double> Binding, int Looked, long Solved);

/// <summary>Finds the resistors that give the greatest margin to every tube of a lot.</summary>
/// <remarks>
/// The margin over some of the tubes is never below that over all of them. So every combination is first judged with two tubes that close the eye most at the middle of the
/// space; then, the most promising first, with all, until the next promise is no better than what is found: the best of all combinations, as if all had been tried.
/// </remarks>
public static class ValueSearch
{
    private sealed record Candidate(StageResistors Values, double Promise);

    /// <returns>The best; refused when none has a margin within the limits.</returns>
    /// <exception cref="ArgumentException">No tubes, or nothing to choose from.</exception>
    public static Outcome<SearchResult> Run(SearchOrder order, CancellationToken cancel = default) => Run(order, null, cancel);

    /// <inheritdoc cref="Run(SearchOrder, CancellationToken)"/>
    /// <param name="progress">Told now and then how many combinations have been judged, of how many, from any thread; null for nobody.</param>
    public static Outcome<SearchResult> Run(SearchOrder order, Action<int, int>? progress, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(order);
        if (order.Tubes.Count == 0 || order.Plate.Count == 0 || order.Upper.Count == 0 || order.Lower.Count == 0)
            throw new ArgumentException("A search needs a tube and a value for each resistor.", nameof(order));
        long solved = 0;
        var judged = 0;
        var all = (from p in order.Plate from u in order.Upper from l in order.Lower select new StageResistors(p, u, l)).ToList();
        var ranked = Rank(order, new(order.Plate[order.Plate.Count / 2], order.Upper[order.Upper.Count / 2], order.Lower[order.Lower.Count / 2]), ref solved);
        int[] witnesses = [.. ranked.Take(2)];
        var promises = new ConcurrentBag<Candidate>();
        Parallel.ForEach(all, new ParallelOptions { CancellationToken = cancel }, () => new SearchBench(order), (values, _, bench) =>
        {
            promises.Add(new(values, bench.Measure(values, witnesses).Margin));
            if (Interlocked.Increment(ref judged) is var done && done % 64 == 0) progress?.Invoke(done, all.Count);
            return bench;
        }, bench => Interlocked.Add(ref solved, bench.Sweeps));

        var full = new SearchBench(order);
        var binding = new Dictionary<string, double>(StringComparer.Ordinal);
        SearchResult? best = null;
        foreach (var candidate in promises.OrderByDescending(c => c.Promise).ThenBy(c => c.Values.Plate).ThenBy(c => c.Values.Upper).ThenBy(c => c.Values.Lower))
        {
            cancel.ThrowIfCancellationRequested();
            if (candidate.Promise <= (best?.MarginVolts ?? 0)) break;
            var found = full.Measure(candidate.Values, ranked);
            if (found.Margin <= (best?.MarginVolts ?? 0)) continue;
            if (order.Limits.Broken(found.Burden) is { } limit) binding[limit] = Math.Max(binding.GetValueOrDefault(limit), found.Margin);
            else best = new(candidate.Values, found.Margin, found.Low, found.High, found.Burden, binding, all.Count, 0);
        }
        solved += full.Sweeps;
        if (best is not null) return Outcome<SearchResult>.Accept(best with { Solved = solved, Binding = binding.Where(b => b.Value > best.MarginVolts).ToDictionary(b => b.Key, b => b.Value) });
        return Outcome<SearchResult>.Refuse(binding.Count == 0
            ? new Refusal("no-margin", "", $"none of {all.Count} combinations of values restores levels with all {order.Tubes.Count} tubes", "a margin above 0 V is needed",
                "Leave out the weakest tubes, widen the ranges of the resistors, or raise the rail.")
            : new Refusal("no-values-within-limits", "", $"every combination that has a margin goes beyond {string.Join(", ", binding.Keys)}", "all limits must be kept",
                $"Relax {binding.MaxBy(b => b.Value).Key}: with it a margin of {Engineering.Format(binding.Values.Max(), "V", 3)} is there."));
    }

    // Those first that close the eye most: the lowest and the highest output where the eye is narrow, then the rest by how far out they lie.
    private static int[] Rank(SearchOrder order, StageResistors middle, ref long solved)
    {
        var bench = new SearchBench(order);
        var alone = Enumerable.Range(0, order.Tubes.Count).Select(t => (t, bench.Measure(middle, [t]))).ToList();
        solved += bench.Sweeps;
        // High low levels spoil the low side, low high levels the high side; alternately the worst of each.
        int[] byLow = [.. alone.OrderByDescending(a => a.Item2.Low).Select(a => a.t)], byHigh = [.. alone.OrderBy(a => a.Item2.High - 1e-3 * a.Item2.Margin).ThenBy(a => a.Item2.Margin).Select(a => a.t)];
        return [.. byLow.Zip(byHigh, (a, b) => (int[])[a, b]).SelectMany(p => p).Distinct()];
    }
}
