using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Tubes;

/// <summary>The scope of the whole project: direct voltages that are ordinarily held touchable when dry.</summary>
public static class ExtraLowVoltage
{
    /// <summary>60 V d.c., the customary limit of touchable direct voltage under dry conditions (IEC 60598-1 8.2.3 and others). It says nothing of burns or fault currents.</summary>
    public static Volts Limit { get; } = new(60);
}
