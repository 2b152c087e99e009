using SweepRig.Analysis;
using SweepRig.Analysis.Grading;
using SweepRig.Analysis.Matching;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Service.Contract;
using SweepRig.Storage;

namespace SweepRig.Service.Stock;

/// <summary>Finds the free tubes of the same type that could replace one.</summary>
public static class TubeSpares
{
    /// <param name="stock">Where the tubes are.</param>
    /// <param name="runs">Where their runs are.</param>
    /// <param name="shelf">Works out their figures.</param>
    /// <param name="replaced">The tube to be replaced.</param>
    /// <param name="keep">What a spare has to keep, see <see cref="QuantityLists.Kept"/>; null for the usual quantities.</param>
    /// <param name="lot">Only of this lot; null for the whole stock.</param>
    /// <param name="progress">Told before each tube how many are done, of how many; null for nobody.</param>
    /// <param name="cancellationToken">The asker has gone.</param>
    /// <returns>All candidates, ranked; or why there can be none.</returns>
    public static async Task<Outcome<SparesView>> FindAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, StockTube replaced, IReadOnlyList<string>? keep, string? lot, Action<int, int>? progress, CancellationToken cancellationToken)
    {
        IReadOnlyList<string> lists = keep is { Count: > 0 } ? keep : [LotSummaries.Usual];
        // Once without its figures: what has to be read follows from the words.
        var words = QuantityLists.Kept(lists, "/keep", new Dictionary<string, Figure>());
        if (!words.IsAccepted) return Outcome<SparesView>.Refuse(words.Refusals);
        var sources = StockQuantities.SourcesOf(words.Value.Select(k => k.Quantity.Word));
        var own = await shelf.ReadAsync(runs, replaced.Label, sources, cancellationToken);
        var kept = QuantityLists.Kept(lists, "/keep", own.Figures).Value!;
        if (Faults(replaced, own, kept) is { Length: > 0 } faults) return Outcome<SparesView>.Refuse(faults);

        var named = lot is null ? null : await LotReading.FindAsync(stock, lot, cancellationToken);
        if (named is { IsAccepted: false }) return Outcome<SparesView>.Refuse(named.Refusals);
        var all = await stock.TubesAsync(named?.Value?.Name, cancellationToken);
        StockTube[] free = [.. all.Where(t => t.Label != replaced.Label && t.State is not (TubeState.Retired or TubeState.InUse) && t.TypeName == replaced.TypeName)];
        var figures = new List<TubeFigures>(free.Length);
        foreach (var tube in free)
        {
            progress?.Invoke(figures.Count, free.Length);
            figures.Add(await shelf.ReadAsync(runs, tube.Label, sources, cancellationToken));
        }
        var ranked = SpareFinder.Rank(kept, replaced.Label, own.Figures, [.. figures.Select(f => f.Figures)]);
        return Outcome<SparesView>.Accept(new(
            replaced.Label, replaced.TypeName, [.. kept.Select(k => View(k, own))],
            [.. ranked.Where(c => c.Chance.Decision != Decision.Absent).Select(c => View(c, free[c.Place], figures[c.Place], kept))],
            [.. ranked.Where(c => c.Chance.Decision == Decision.Absent).Select(c => free[c.Place].Label).Order(StringComparer.Ordinal)],
            [.. Comparability.Remarks([own, .. figures], kept.Select(k => k.Quantity.Word))]));
    }

    private static Refusal[] Faults(StockTube replaced, TubeFigures own, IReadOnlyList<KeptQuantity> kept) =>
    [
        .. kept.Where(k => k.Tolerance is not null && LotSummaries.FigureOf(own, k.Quantity).Value is null).Select(k => new Refusal(
            "not-measured", "/keep", $"{k.Quantity.Word} of {replaced.Label}", $"there is none: {LotSummaries.FigureOf(own, k.Quantity).AbsentBecause}",
            $"Sweep or screen {replaced.Label} for it, or give limits of your own: {k.Quantity.Word}=LOWEST..HIGHEST.")),
        .. kept.Where(k => k.Tolerance == 0).Select(k => new Refusal(
            "no-tolerance", "/keep", $"{k.Quantity.Word} of {replaced.Label}", "it is 0, so that a tenth of it is no tolerance", $"Give one: {k.Quantity.Word}=TOLERANCE.")),
    ];

    private static KeptQuantityView View(KeptQuantity kept, TubeFigures own)
    {
        var figure = LotSummaries.FigureOf(own, kept.Quantity);
        return new(LotSummaries.View(kept.Quantity), figure, kept.Tolerance is { } t ? figure.Value - t : kept.Lowest, kept.Tolerance is { } u ? figure.Value + u : kept.Highest, kept.Tolerance);
    }

    private static SpareView View(SpareCandidate spare, StockTube tube, TubeFigures figures, IReadOnlyList<KeptQuantity> kept)
    {
        var chance = spare.Chance;
        var against = chance.Limits.Where(l => l.Decision != Decision.Accept).ToArray();
        // Of one that keeps to everything, what comes nearest to a limit.
        var says = against.Length > 0 ? against : [chance.Limits.MinBy(l => l.Probability ?? 0)!];
        return new(
            tube.Label, tube.Lot, tube.Location, StockWords.Word(tube.State), tube.Grade, chance.Decision.ToString().ToLowerInvariant(), chance.Probably, chance.AtLeast, chance.AtMost,
            spare.Distance, [.. kept.Select(k => LotSummaries.FigureOf(figures, k.Quantity))], [.. says.Select(l => l.Says)]);
    }
}
