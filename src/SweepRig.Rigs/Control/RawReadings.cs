using SweepRig.Domain;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Control;

/// <summary>The latest conversion of each channel, in nominal volts.</summary>
internal sealed class RawReadings(IReadOnlyList<ChannelScale> channels)
{
    private readonly double[] _atZero = [.. channels.Select(c => c.AtZero.Value)];
    private readonly double[] _step = [.. channels.Select(c => c.StepVolts)];
    private readonly int[] _fractionBits = [.. channels.Select(c => c.FractionBits)];
    private readonly double[] _volts = new double[RigChannels.Count];
    private readonly int[] _codes = new int[RigChannels.Count];

    public double this[RigChannel channel] => _volts[(int)channel];

    /// <summary>The latest conversion as a stored code, that is with fraction bits.</summary>
    public ushort StoredCode(RigChannel channel) => (ushort)Math.Min(_codes[(int)channel] << _fractionBits[(int)channel], ushort.MaxValue);

    /// <returns>The conversion in nominal volts.</returns>
    public double Keep(RigChannel channel, int code)
    {
        _codes[(int)channel] = code;
        return _volts[(int)channel] = _atZero[(int)channel] + code * _step[(int)channel];
    }
}
