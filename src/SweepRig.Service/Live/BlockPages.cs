using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Service.Contract;
using SweepRig.Storage;

namespace SweepRig.Service.Live;

/// <summary>Recorded blocks in pages, for a viewer that missed some.</summary>
public static class BlockPages
{
    /// <summary>Blocks in one page; a viewer that missed more asks again.</summary>
    public const int BlocksPerPage = 200;

    /// <param name="header">Of the run, with the calibration to derive volts with.</param>
    /// <param name="from">Sequence number of the first block wanted, 0 or more.</param>
    public static async Task<LiveBlocksView> ReadAsync(RunStore store, RunHeader header, long from, CancellationToken cancellationToken)
    {
        var calibrator = Calibrator.For(header);
        var blocks = new List<LiveBlockView>();
        await foreach (var (sequence, block) in store.ReadBlocksAsync(header.Id, from, cancellationToken))
        {
            if (blocks.Count == BlocksPerPage) return new(header.Id, BenchViews.Of(header.Calibration), [.. blocks], sequence);
            blocks.Add(RunViews.Block(header.Id, sequence, block, calibrator.Convert(block), newestSampleUnixMs: null, skipped: 0));
        }
        return new(header.Id, BenchViews.Of(header.Calibration), [.. blocks], NextSequence: null);
    }
}
