using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;

namespace SweepRig.Rigs.Control;

/// <summary>Sums conversions into one sample. Integers only, as in firmware.</summary>
internal sealed class Averager(IReadOnlyList<ChannelScale> channels)
{
    private readonly int[] _maxCode = [.. channels.Select(c => c.MaxCode)];
    private readonly int[] _fractionBits = [.. channels.Select(c => c.FractionBits)];
    private readonly long[] _sums = new long[RigChannels.Count];
    private readonly int[] _counts = new int[RigChannels.Count];
    private int _plateMin, _plateMax;
    private bool _clipped;

    public void Clear()
    {
        Array.Clear(_sums);
        Array.Clear(_counts);
        _plateMin = int.MaxValue;
        _plateMax = 0;
        _clipped = false;
    }

    public void Add(RigChannel channel, int code)
    {
        _sums[(int)channel] += code;
        _counts[(int)channel]++;
        if (code == 0 || code == _maxCode[(int)channel]) _clipped = true;
        if (channel != RigChannel.Plate) return;
        if (code < _plateMin) _plateMin = code;
        if (code > _plateMax) _plateMax = code;
    }

    public SampleFlags Flags => _clipped ? SampleFlags.Clipped : SampleFlags.None;

    public ushort Spread => _counts[(int)RigChannel.Plate] == 0 ? (ushort)0 : (ushort)Math.Min(_plateMax - _plateMin, ushort.MaxValue);

    /// <summary>Mean of a channel in steps of 2^-fraction bits, rounded to nearest, halves up; 0 where nothing was converted.</summary>
    public ushort Mean(RigChannel channel)
    {
        long count = _counts[(int)channel];
        if (count == 0) return 0;
        var scaled = _sums[(int)channel] << _fractionBits[(int)channel];
        return (ushort)Math.Min((2 * scaled + count) / (2 * count), ushort.MaxValue);
    }
}
