using SweepRig.Analysis.Grading;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Reports.Stock;

/// <summary>A tube of a lot, with what its newest sweeps say.</summary>
public sealed record MeasuredTube(StockTube Tube, TubeFigures Figures);

/// <summary>All that a report of a lot is made from.</summary>
/// <param name="Tubes">All of the lot, by number.</param>
/// <param name="Runs">Those that the figures come from.</param>
/// <param name="Scheme">Grades to look at the lot with; null for those given before.</param>
/// <param name="MadeUtc">When the report was asked for.</param>
public sealed record LotSheet(Lot Lot, IReadOnlyList<MeasuredTube> Tubes, IReadOnlyList<RunRecord> Runs, GradeScheme? Scheme, DateTimeOffset MadeUtc)
{
    /// <summary>Tubes that can still be used.</summary>
    public IEnumerable<MeasuredTube> Alive => Tubes.Where(t => t.Tube.State != TubeState.Retired);

    /// <param name="shelf">Works out the figures: levels, and whatever else the grades have limits for.</param>
    /// <param name="progress">Tubes read so far, and of how many.</param>
    /// <returns>Refused when the stock has no such lot.</returns>
    public static async Task<Outcome<LotSheet>> ReadAsync(
        RunStore runs, StockStore stock, FigureShelf shelf, string name, GradeScheme? scheme, DateTimeOffset madeUtc, Action<int, int>? progress, CancellationToken cancellationToken)
    {
        var lots = await stock.LotsAsync(cancellationToken);
        if (lots.FirstOrDefault(l => string.Equals(l.Lot.Name, name, StringComparison.OrdinalIgnoreCase)).Lot is not { } lot)
        {
            var known = lots.Count == 0 ? "the stock has no lot yet" : $"the stock has {string.Join(", ", lots.Take(8).Select(l => l.Lot.Name))}{(lots.Count > 8 ? ", ..." : "")}";
            return Outcome<LotSheet>.Refuse(new Refusal("lot-unknown", "/lot", $"lot {name}", known, "See sweeprig stock list --lots, or book it in."));
        }
        var tubes = await stock.TubesAsync(lot.Name, cancellationToken);
        var read = new List<MeasuredTube>(tubes.Count);
        var sources = FigureSources.Levels | StockQuantities.SourcesOf(scheme?.Grades.SelectMany(g => g.Limits).Select(l => l.Quantity) ?? []);
        foreach (var tube in tubes)
        {
            read.Add(new(tube, await shelf.ReadAsync(runs, tube.Label, sources, cancellationToken)));
            progress?.Invoke(read.Count, tubes.Count);
        }
        var used = new List<RunRecord>();
        foreach (var id in read.SelectMany(t => t.Figures.Runs).Distinct())
            if (await runs.FindAsync(id, cancellationToken) is { } record) used.Add(record);
        return Outcome<LotSheet>.Accept(new(lot, read, used, scheme, madeUtc));
    }
}
