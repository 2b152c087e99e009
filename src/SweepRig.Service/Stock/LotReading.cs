using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Stock;

/// <summary>The tubes of a lot that can be used, with what is known of them.</summary>
/// <param name="Lot">Its name.</param>
/// <param name="Tubes">Retired ones are left out.</param>
/// <param name="Figures">Of each, in the same order.</param>
public sealed record LotReading(string Lot, IReadOnlyList<StockTube> Tubes, IReadOnlyList<TubeFigures> Figures)
{
    /// <summary>Code of the refusal that says that there is no such lot.</summary>
    public const string UnknownLot = "lot-unknown";

    /// <param name="stock">Where the tubes are.</param>
    /// <param name="runs">Where their runs are.</param>
    /// <param name="shelf">Works out their figures.</param>
    /// <param name="lot">Its name.</param>
    /// <param name="sources">What to read of each tube.</param>
    /// <param name="progress">Told before each tube how many are done, of how many; null for nobody.</param>
    /// <param name="cancellationToken">The asker has gone.</param>
    /// <returns>The lot, or that there is none of the name, or that all of its tubes are retired.</returns>
    public static async Task<Outcome<LotReading>> ReadAsync(
        StockStore stock, RunStore runs, FigureShelf shelf, string lot, FigureSources sources, Action<int, int>? progress, CancellationToken cancellationToken)
    {
        var named = await FindAsync(stock, lot, cancellationToken);
        if (!named.IsAccepted) return Outcome<LotReading>.Refuse(named.Refusals);
        lot = named.Value.Name;
        var all = await stock.TubesAsync(lot, cancellationToken);
        StockTube[] tubes = [.. all.Where(t => t.State is not TubeState.Retired)];
        if (tubes.Length == 0) return Outcome<LotReading>.Refuse(new Refusal("lot-retired", "/lot", $"lot {lot}", $"its {all.Count} tubes are all retired", "Return those that are good after all."));
        var figures = new List<TubeFigures>(tubes.Length);
        foreach (var tube in tubes)
        {
            progress?.Invoke(figures.Count, tubes.Length);
            figures.Add(await shelf.ReadAsync(runs, tube.Label, sources, cancellationToken));
        }
        return Outcome<LotReading>.Accept(new(lot, tubes, figures));
    }

    /// <summary>The lot of a name; upper and lower case do not matter.</summary>
    public static async Task<Outcome<Lot>> FindAsync(StockStore stock, string asked, CancellationToken cancellationToken)
    {
        var lots = await stock.LotsAsync(cancellationToken);
        if (lots.FirstOrDefault(l => string.Equals(l.Lot.Name, asked.Trim(), StringComparison.OrdinalIgnoreCase)).Lot is { } found) return Outcome<Lot>.Accept(found);
        var nearest = NearestKey.Of(asked.Trim(), [.. lots.Select(l => l.Lot.Name)]);
        return Outcome<Lot>.Refuse(new Refusal(
            UnknownLot, "/lot", $"lot {asked}", "the stock has none of that name", nearest is null ? "See sweeprig stock list --lots." : $"Did you mean {nearest}?"));
    }
}
