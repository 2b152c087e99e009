using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Simulated.Physics;

/// <summary>The DAC and its amplifier: what really stands at the output for a code.</summary>
/// <param name="scale">Nominal range.</param>
/// <param name="gain">True gain, near 1.</param>
/// <param name="offsetVolts">Offset error.</param>
internal sealed class DriveOutput(DriveScale scale, double gain, double offsetVolts)
{
    public DriveScale Scale => scale;

    public double ToVolts(int code) => gain * scale.ToVolts(code) + offsetVolts;
}
