using SweepRig.Domain.Quantities;

namespace SweepRig.Rigs.Link.Messages;

/// <summary>Volts as whole microvolts on the link: ±2147 V in 32 bits.</summary>
public static class Microvolts
{
    public static int Of(Volts voltage) => (int)Math.Clamp(Math.Round(voltage.Value * 1e6), int.MinValue, int.MaxValue);

    public static Volts ToVolts(long microvolts) => new(microvolts / 1e6);
}
