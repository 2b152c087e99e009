using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>One analogue input: gain, offset and bow, noise, clipping, steps.</summary>
/// <param name="scale">Nominal range.</param>
/// <param name="gain">True gain, near 1.</param>
/// <param name="offsetVolts">Offset error.</param>
/// <param name="bowVolts">Largest departure from the straight line through the ends; an S of the third degree.</param>
/// <param name="noiseVolts">Standard deviation of the noise at the input.</param>
internal sealed class Converter(ChannelScale scale, double gain, double offsetVolts, double bowVolts, double noiseVolts)
{
    /// <summary>Largest value of t - t³ between -1 and 1, at t = 1/√3.</summary>
    private const double Peak = 0.38490017945975050;

    private readonly double _perStep = 1 / scale.StepVolts;
    private readonly double _atZero = scale.AtZero.Value;
    private readonly int _maxCode = scale.MaxCode;
    private readonly double _bow = bowVolts / Peak;
    private readonly double _middle = (scale.AtZero.Value + scale.AtFullScale.Value) / 2;
    private readonly double _perHalf = 2 / (scale.AtFullScale.Value - scale.AtZero.Value);

    public ChannelScale Scale => scale;

    /// <summary>One conversion: 0 to the scale's largest code, held at the ends.</summary>
    public int Convert(double volts, NormalNoise noise)
    {
        var seen = gain * volts + offsetVolts + (noiseVolts > 0 ? noiseVolts * noise.Next() : 0);
        if (_bow != 0)
        {
            var t = (volts - _middle) * _perHalf;
            seen += _bow * (t - t * t * t);
        }
        var steps = (seen - _atZero) * _perStep;
        return steps <= 0 ? 0 : steps >= _maxCode ? _maxCode : (int)(steps + 0.5);
    }
}
