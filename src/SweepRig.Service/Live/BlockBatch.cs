using SweepRig.Domain.Runs;
using SweepRig.Rigs.Calibration;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Live;

/// <summary>Blocks that follow each other within one pass, to be sent as one message.</summary>
public sealed class BlockBatch
{
    /// <summary>Enough for a page that repaints 60 times a second at any rate a rig reaches; keeps a message to some tens of kilobytes.</summary>
    private const int MaxSamples = 1_024;

    private readonly List<LiveUpdate.Block> _blocks = [];
    private int _samples;

    public bool IsEmpty => _blocks.Count == 0;

    /// <summary>Takes the block if it goes on where the batch ends.</summary>
    public bool TryAdd(LiveUpdate.Block block)
    {
        if (_blocks.Count > 0)
        {
            var last = _blocks[^1];
            var follows = last.RunId == block.RunId && last.Sequence + 1 == block.Sequence && last.Samples.Pass == block.Samples.Pass;
            if (!follows || _samples + block.Samples.Count > MaxSamples) return false;
        }
        _blocks.Add(block);
        _samples += block.Samples.Count;
        return true;
    }

    public string RunId => _blocks[0].RunId;

    /// <summary>All blocks as one message; the batch is empty afterwards.</summary>
    public LiveBlockView Take(Calibrator calibrator, long skippedBlocks)
    {
        var first = _blocks[0];
        var newest = (_blocks[^1].NewestSampleUtc - DateTimeOffset.UnixEpoch).TotalMilliseconds;
        var view = RunViews.Block(first.RunId, first.Sequence, Joined(), calibrator, newest, skippedBlocks) with { Blocks = _blocks.Count };
        _blocks.Clear();
        _samples = 0;
        return view;
    }

    private SampleBlock Joined()
    {
        if (_blocks.Count == 1) return _blocks[0].Samples;
        T[] Join<T>(Func<SampleBlock, T[]> column) => [.. _blocks.SelectMany(b => column(b.Samples))];
        var first = _blocks[0].Samples;
        return first with
        {
            PointIndex = Join(b => b.PointIndex),
            SampledAtTicks = Join(b => b.SampledAtTicks),
            DriveCode = Join(b => b.DriveCode),
            Flags = Join(b => b.Flags),
            AveragedCount = Join(b => b.AveragedCount),
            Spread = Join(b => b.Spread),
            Codes = [.. Enumerable.Range(0, first.Codes.Length).Select(channel => Join(b => b.Codes[channel]))],
        };
    }
}
