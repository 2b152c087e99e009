using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Storage;
using SweepRig.Storage.Blocks;
using SweepRig.Storage.Schema;

namespace SweepRig.Benchmarks.Stores;

/// <summary>Fills a store with ended runs, row for row what recording them leaves, and a stock that they belong to.</summary>
internal static class FilledStore
{
    public const int Tubes = 2_000, Lots = 20;
    private const int AtOnce = 1_000;

    public static string Label(int run) => $"LOT{run % Lots:00}-{1 + run / Lots % (Tubes / Lots):000}";

    public static async Task FillAsync(RunStore store, int runs)
    {
        var stock = new StockStore(store, TimeProvider.System);
        for (var lot = 0; lot < Lots; lot++)
            await stock.BookAsync(new Lot($"Lot {lot}", $"LOT{lot:00}", "6AU6", "coast radio station", null, null, StoredSweeps.Started), Tubes / Lots, $"drawer {lot}", CancellationToken.None);

        var sweeps = new StoredSweeps();
        var texts = new SharedTexts();
        for (var first = 0; first < runs; first += AtOnce)
        {
            var rows = Enumerable.Range(first, Math.Min(AtOnce, runs - first)).Select(run => (Run: run, Blocks: sweeps.Blocks(run))).ToArray();
            // Packing takes most of the time.
            var packs = rows.AsParallel().AsOrdered().Select(r => new PackRow { Run = r.Run + 1, Sequence = 0, Blocks = r.Blocks.Length, Data = BlockPack.Encode(r.Blocks) }).ToArray();
            await store.OnContextAsync(
                async context =>
                {
                    context.ChangeTracker.AutoDetectChangesEnabled = false;
                    // Kept before the transaction begins.
                    await texts.RowAsync(context, StoredSweeps.Header(0, ""), null, CancellationToken.None);
                    await using var transaction = await context.Database.BeginTransactionAsync();
                    for (var i = 0; i < rows.Length; i++)
                    {
                        var header = StoredSweeps.Header(rows[i].Run, Label(rows[i].Run));
                        var row = await texts.RowAsync(context, header, "5f0c9f6be3c14e5a9d3f0a4f6f2f7d11", CancellationToken.None);
                        (row.Number, row.State, row.Ended, row.Samples, row.Writes) = (rows[i].Run + 1, RunRows.Text(RunState.Complete), RunRows.Text(header.StartedUtc.AddSeconds(4)), StoredSweeps.Points, 12);
                        context.Runs.Add(row);
                    }
                    await context.SaveChangesAsync();
                    context.Packs.AddRange(packs);
                    await context.SaveChangesAsync();
                    await transaction.CommitAsync();
                    return true;
                },
                CancellationToken.None);
        }
    }
}
