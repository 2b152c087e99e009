using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Rigs;

/// <summary>Nominal straight line from DAC code to drive.</summary>
/// <param name="Bits">Resolution, 8 to 16.</param>
/// <param name="AtZero">Drive at code 0.</param>
/// <param name="AtFullScale">Drive at the largest code.</param>
public sealed record DriveScale(int Bits, Volts AtZero, Volts AtFullScale)
{
    public int MaxCode => (1 << Bits) - 1;

    /// <summary>Volts of one code.</summary>
    public double StepVolts => (AtFullScale.Value - AtZero.Value) / MaxCode;

    /// <summary>Nominal drive of a code, in volts.</summary>
    public double ToVolts(int code) => AtZero.Value + code * StepVolts;

    /// <summary>Nearest code, kept within the converter's range.</summary>
    public int ToCode(Volts drive) => Clamp(Math.Round((drive.Value - AtZero.Value) / StepVolts));

    /// <summary>The highest code whose nominal drive does not exceed the voltage: ceilings round down, never up.</summary>
    public int ToCodeAtOrBelow(Volts drive) => Clamp(Math.Floor((drive.Value - AtZero.Value) / StepVolts + 1e-9));

    private int Clamp(double code) => (int)Math.Clamp(code, 0, MaxCode);
}
