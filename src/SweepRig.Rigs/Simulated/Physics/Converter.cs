using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>One analogue input: gain and offset error, noise, clipping, steps.</summary>
/// <param name="scale">Nominal range.</param>
/// <param name="gain">True gain, near 1.</param>
/// <param name="offsetVolts">Offset error.</param>
/// <param name="noiseVolts">Standard deviation of the noise at the input.</param>
internal sealed class Converter(ChannelScale scale, double gain, double offsetVolts, double noiseVolts)
{
    private readonly double _perStep = 1 / scale.StepVolts;
    private readonly double _atZero = scale.AtZero.Value;
    private readonly int _maxCode = scale.MaxCode;

    public ChannelScale Scale => scale;

    /// <summary>One conversion: 0 to the scale's largest code, held at the ends.</summary>
    public int Convert(double volts, NormalNoise noise)
    {
        var seen = gain * volts + offsetVolts + (noiseVolts > 0 ? noiseVolts * noise.Next() : 0);
        var steps = (seen - _atZero) * _perStep;
        return steps <= 0 ? 0 : steps >= _maxCode ? _maxCode : (int)(steps + 0.5);
    }
}
