using Microsoft.EntityFrameworkCore;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Blocks;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <summary>
/// Packs the blocks of an ended run into few cells. While a run is recorded each block has its own, so that it is durable by itself.
/// </summary>
internal static class RunPacker
{
    /// <summary>In one transaction: a reader finds the blocks either as they were recorded or packed.</summary>
    /// <exception cref="InvalidDataException">A block is damaged; all stays as it is.</exception>
    public static async Task PackAsync(RunContext context, long run, CancellationToken cancellationToken)
    {
        await using var transaction = await context.Database.BeginTransactionAsync(cancellationToken).ConfigureAwait(false);
        await WithinAsync(context, run, cancellationToken).ConfigureAwait(false);
        await transaction.CommitAsync(CancellationToken.None).ConfigureAwait(false);
    }

    /// <summary>As <see cref="PackAsync"/>, in the transaction of the context.</summary>
    public static async Task WithinAsync(RunContext context, long run, CancellationToken cancellationToken)
    {
        var rows = await context.Blocks.AsNoTracking().Where(b => b.Run == run).OrderBy(b => b.Sequence).ToListAsync(cancellationToken).ConfigureAwait(false);
        if (rows.Count == 0) return;
        context.Packs.AddRange(Packed(run, rows));
        await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
        await context.Blocks.Where(b => b.Run == run).ExecuteDeleteAsync(cancellationToken).ConfigureAwait(false);
    }

    public static IEnumerable<PackRow> Packed(long run, IReadOnlyList<BlockRow> rows)
    {
        List<SampleBlock> blocks = [];
        var (samples, next) = (0, rows.Count > 0 ? rows[0].Sequence : 0);
        foreach (var row in rows)
        {
            // Sequence numbers within a pack follow each other.
            if (blocks.Count > 0 && (samples + row.Samples > BlockPack.Samples || row.Sequence != next)) yield return Close();
            blocks.Add(BlockBlob.Decode(row.Pass, row.FrameIndex, row.Data));
            samples += row.Samples;
            next = row.Sequence + 1;
        }
        if (blocks.Count > 0) yield return Close();

        PackRow Close()
        {
            var pack = new PackRow { Run = run, Sequence = next - blocks.Count, Blocks = blocks.Count, Data = BlockPack.Encode(blocks) };
            blocks.Clear();
            samples = 0;
            return pack;
        }
    }
}
