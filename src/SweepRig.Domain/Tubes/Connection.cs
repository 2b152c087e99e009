using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Tubes;

public enum ConnectionKind
{
    /// <summary>Screen through its resistor to the plate rail, suppressor at the cathode.</summary>
    Pentode,

    /// <summary>Screen and suppressor tied to the plate.</summary>
    Triode,
}

/// <summary>How the electrodes are wired, with the resistors and rails used. The cathode is at 0 V.</summary>
/// <param name="PlateRail">Positive rail, above 0 and at most <see cref="ExtraLowVoltage.Limit"/>.</param>
/// <param name="BiasRail">Negative rail, 0 or below.</param>
/// <param name="Heater">Heater voltage.</param>
/// <param name="PlateResistor">From plate rail to plate.</param>
/// <param name="ScreenResistor">From plate rail to screen; carries nothing in triode connection.</param>
/// <param name="GridStopper">From drive to grid pin.</param>
public sealed record Connection(
    ConnectionKind Kind,
    Volts PlateRail,
    Volts BiasRail,
    Volts Heater,
    Ohms PlateResistor,
    Ohms ScreenResistor,
    Ohms GridStopper);
