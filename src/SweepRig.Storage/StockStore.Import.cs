using Microsoft.EntityFrameworkCore;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <summary>Lots and tubes with their history, to come into a stock.</summary>
public sealed record StockToCome(IReadOnlyList<Lot> Lots, IReadOnlyList<StockTube> Tubes);

/// <content>Tubes that come with a history, all of them or none.</content>
public sealed partial class StockStore
{
    private const int MostTold = 20;

    /// <summary>Takes in lots and tubes with the history that they bring. A lot that is there gets the tubes, and keeps what it has.</summary>
    /// <param name="coming">Each tube of one of the lots, with a number of that lot.</param>
    /// <param name="keep">False only looks whether it would go.</param>
    /// <returns>What came in, or every reason why not (20 numbers at most); then nothing has changed.</returns>
    public Task<Outcome<StockToCome>> ImportAsync(StockToCome coming, bool keep, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(coming);
        return runs.InTurnAsync<Outcome<StockToCome>>(
            async context =>
            {
                var (rows, faults) = (new Dictionary<string, LotRow>(StringComparer.Ordinal), new List<Refusal>());
                foreach (var lot in coming.Lots)
                {
                    var row = await context.Lots.SingleOrDefaultAsync(l => l.Name == lot.Name, cancellationToken).ConfigureAwait(false);
                    if (await FaultAsync(context, lot, row, cancellationToken).ConfigureAwait(false) is { } fault) faults.Add(fault);
                    if (row is null) context.Lots.Add(row = RowOf(lot));
                    rows[lot.Name] = row;
                }
                faults.AddRange(await TakenAsync(context, coming, [.. rows.Values.Select(r => r.Number).Where(n => n > 0)], cancellationToken).ConfigureAwait(false));
                if (faults.Count > 0) return (Outcome<StockToCome>.Refuse(faults), false);
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                (StockTube Tube, TubeRow Row)[] added = [.. coming.Tubes.Select(t => (t, new TubeRow { Label = t.Label, Lot = rows[t.Lot].Number, Ordinal = OrdinalOf(coming, t) }))];
                context.Tubes.AddRange(added.Select(a => a.Row));
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                context.TubeChanges.AddRange(added.SelectMany(a => a.Tube.History.Select(c => Row(a.Row.Number, c))));
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                return (Outcome<StockToCome>.Accept(coming), keep);
            },
            cancellationToken);
    }

    private static int OrdinalOf(StockToCome coming, StockTube tube) => coming.Lots.First(l => l.Name == tube.Lot).OrdinalOf(tube.Label)
        ?? throw new ArgumentException($"SweepRig bug: {tube.Label} is no number of lot {tube.Lot}.", nameof(coming));

    // A number is of one lot alone, so that only tubes of the same lots can have one of these.
    private static async Task<IEnumerable<Refusal>> TakenAsync(RunContext context, StockToCome coming, List<long> lots, CancellationToken cancellationToken)
    {
        if (lots.Count == 0) return [];
        var there = await context.Tubes.AsNoTracking().Where(t => lots.Contains(t.Lot)).Select(t => t.Label).ToListAsync(cancellationToken).ConfigureAwait(false);
        string[] taken = [.. coming.Tubes.Select(t => t.Label).Intersect(there, StringComparer.Ordinal)];
        var told = taken.Take(MostTold).Select(l => new Refusal("number-taken", "/label", $"{l} is to come into the stock", "the stock has a tube of that number", "Give the new one another number, or take its lines out."));
        return taken.Length <= MostTold ? told : [.. told, new("number-taken", "/label", $"{taken.Length - MostTold} more numbers are taken", "each number is given once", "See sweeprig stock list.")];
    }
}
