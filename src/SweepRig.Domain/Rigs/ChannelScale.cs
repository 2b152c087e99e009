using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Rigs;

/// <summary>Nominal straight line from a stored code to the voltage of a channel.</summary>
/// <param name="Channel">Which voltage.</param>
/// <param name="Bits">Resolution of one conversion, 8 to 16.</param>
/// <param name="FractionBits">Extra binary places that averaging adds to a stored code; bits + fraction bits is at most 16.</param>
/// <param name="AtZero">Voltage at code 0.</param>
/// <param name="AtFullScale">Voltage at the largest conversion code.</param>
public sealed record ChannelScale(RigChannel Channel, int Bits, int FractionBits, Volts AtZero, Volts AtFullScale)
{
    public int MaxCode => (1 << Bits) - 1;

    /// <summary>Volts of one conversion step.</summary>
    public double StepVolts => (AtFullScale.Value - AtZero.Value) / MaxCode;

    /// <summary>Standard uncertainty that the resolution of a stored code leaves, volts: q/√12 (JCGM 100:2008, F.2.2.1).</summary>
    public double ResolutionUncertaintyVolts => Math.Abs(StepVolts) / (1 << FractionBits) / Math.Sqrt(12);

    /// <summary>Nominal voltage of a stored (averaged, scaled by 2^FractionBits) code, in volts.</summary>
    public double ToVolts(double storedCode) => AtZero.Value + storedCode / (1 << FractionBits) * StepVolts;

    /// <summary>Nearest conversion code (without fraction bits) of a voltage, kept within the range.</summary>
    public int ToCode(Volts voltage) => (int)Math.Clamp(Math.Round((voltage.Value - AtZero.Value) / StepVolts), 0, MaxCode);
}
