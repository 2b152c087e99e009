using Microsoft.EntityFrameworkCore;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Rigs.Documents;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Databases;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage.Archives;

/// <summary>Adds what an archive brings as rows, within the transaction of its caller. What another bench has added meanwhile stops it.</summary>
internal sealed class ArchiveRows(StoreDatabase database, RunContext context, CancellationToken cancellationToken)
{
    /// <summary>Blocks kept before they are written.</summary>
    private const int Waiting = 256;

    private readonly SharedTexts _texts = new();
    private readonly List<BlockRow> _blocks = [];

    public void Add(RigCalibration calibration) => context.Calibrations.Add(new()
    {
        Id = calibration.Id, Rig = calibration.RigSerialNumber, Made = RunRows.Text(calibration.Origin!.MadeUtc), Document = CalibrationDocument.Write(calibration),
    });

    public async Task StockAsync(StockComparison stock)
    {
        context.Lots.AddRange(stock.NewLots.Select(StockStore.RowOf));
        await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
        foreach (var tubes in stock.NewTubes.GroupBy(t => t.Lot))
        {
            var lot = await context.Lots.SingleAsync(l => l.Name == tubes.Key, cancellationToken).ConfigureAwait(false);
            TubeRow[] rows = [.. tubes.Select(t => new TubeRow { Label = t.Label, Lot = lot.Number, Ordinal = Ordinal(t.Label) })];
            context.Tubes.AddRange(rows);
            await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
            foreach (var (row, tube) in rows.Zip(tubes)) context.TubeChanges.AddRange(tube.History.Select(h => StockStore.Row(row.Number, h)));
            await SaveAsync().ConfigureAwait(false);
        }
        foreach (var (label, rest) in stock.Longer)
        {
            var tube = await context.Tubes.SingleAsync(t => t.Label == label, cancellationToken).ConfigureAwait(false);
            context.TubeChanges.AddRange(rest.Select(h => StockStore.Row(tube.Number, h)));
        }
        await SaveAsync().ConfigureAwait(false);
    }

    /// <returns>The number that its blocks go under.</returns>
    public async Task<long> RunAsync(RunRecord run)
    {
        var row = await _texts.RowAsync(context, run.Header, bench: null, cancellationToken).ConfigureAwait(false);
        row.State = RunRows.Text(run.State);
        row.Ended = run.EndedUtc is { } ended ? RunRows.Text(ended) : null;
        row.Samples = run.Samples;
        context.Runs.Add(row);
        await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
        context.Trips.AddRange(run.Trips.Select(t => RunRows.From(row.Number, t)));
        context.Gaps.AddRange(run.Gaps.Select(g => RunRows.From(row.Number, g)));
        return row.Number;
    }

    public async Task BlockAsync(long run, long sequence, SampleBlock block)
    {
        _blocks.Add(RunRows.From(run, sequence, block));
        if (_blocks.Count == Waiting) await BlocksAsync().ConfigureAwait(false);
    }

    public async Task SaveAsync()
    {
        await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
        context.ChangeTracker.Clear();
        await BlocksAsync().ConfigureAwait(false);
    }

    // Of one run: it is saved before the next begins.
    private async Task BlocksAsync()
    {
        if (_blocks.Count == 0) return;
        await database.InsertBlocksAsync(context, _blocks[0].Run, _blocks, cancellationToken).ConfigureAwait(false);
        _blocks.Clear();
    }

    private static int Ordinal(string label) =>
        int.TryParse(label[(label.LastIndexOf('-') + 1)..], System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var ordinal)
            ? ordinal
            : throw ArchiveDocuments.Damaged(ArchivedStock.FileName, $"tube number {label} does not end in a number");
}
