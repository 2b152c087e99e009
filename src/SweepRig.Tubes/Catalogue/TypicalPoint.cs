namespace SweepRig.Tubes.Catalogue;

/// <summary>One published operating point of a new tube of a type; each section of a double one by itself.</summary>
/// <param name="PlateVolts">Plate to cathode.</param>
/// <param name="ScreenVolts">Screen to cathode; null for a triode.</param>
/// <param name="GridVolts">Fixed bias; null where a cathode resistor makes it.</param>
/// <param name="CathodeOhms">Cathode resistor; null where the bias is fixed.</param>
/// <param name="PlateMilliamperes">Plate current.</param>
/// <param name="ScreenMilliamperes">Screen current; null for a triode.</param>
/// <param name="MilliampsPerVolt">Transconductance.</param>
/// <param name="PlateKilohms">Plate resistance; null where no table gives it. For a pentode mostly a round figure.</param>
/// <param name="Mu">Amplification factor of a triode.</param>
/// <param name="Confidence">How far it can be trusted.</param>
public sealed record TypicalPoint(
    double PlateVolts, double? ScreenVolts, double? GridVolts, double? CathodeOhms, double PlateMilliamperes, double? ScreenMilliamperes, double MilliampsPerVolt,
    double? PlateKilohms, double? Mu, Confidence Confidence);
