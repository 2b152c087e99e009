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

    /// <summary>All blocks as one message; the batch is empty afterwards.</summary>
    public LiveBlockView Take(long skippedBlocks)
    {
        LiveUpdate.Block first = _blocks[0], last = _blocks[^1];
        var newest = (last.NewestSampleUtc - DateTimeOffset.UnixEpoch).TotalMilliseconds;
        var view = RunViews.Block(first.RunId, first.Sequence, first.Samples with { PointIndex = Join(b => b.Samples.PointIndex) }, JoinedVolts(), newest, skippedBlocks)
            with { Blocks = _blocks.Count };
        _blocks.Clear();
        _samples = 0;
        return view;
    }

    private BlockVolts JoinedVolts() => new(
        Join(b => b.Volts.Drive), Join(b => b.Volts.Grid), Join(b => b.Volts.Plate), Join(b => b.Volts.Screen), Join(b => b.Volts.Supply),
        Join(b => b.Volts.GridCurrent), Join(b => b.Volts.ScreenCurrent), Join(b => b.Volts.PlateCurrent));

    private T[] Join<T>(Func<LiveUpdate.Block, T[]> column) => _blocks.Count == 1 ? column(_blocks[0]) : [.. _blocks.SelectMany(column)];
}
