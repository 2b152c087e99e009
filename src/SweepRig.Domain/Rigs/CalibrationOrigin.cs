namespace SweepRig.Domain.Rigs;

/// <summary>Where a calibration comes from.</summary>
/// <param name="MadeUtc">When it was finished.</param>
/// <param name="ValidUntilUtc">From here on it is stale.</param>
/// <param name="Meter">The reference.</param>
/// <param name="Note">The operator's words; may be empty.</param>
/// <param name="PositivePoints">False when no positive drive was permitted, so that positive figures lean on extrapolation.</param>
public sealed record CalibrationOrigin(DateTimeOffset MadeUtc, DateTimeOffset ValidUntilUtc, ReferenceMeter Meter, string Note, bool PositivePoints)
{
    /// <summary>How long a calibration holds unless told otherwise: half a year. Common practice for a bench without a history of drift, no source.</summary>
    public static TimeSpan DefaultValidity { get; } = TimeSpan.FromDays(180);
}

/// <summary>The meter that a rig is compared with, and what its maker promises: ±(percent of reading + percent of range + counts).</summary>
/// <param name="Name">Maker and model as the operator writes them.</param>
/// <param name="SerialNumber">Of the meter.</param>
/// <param name="PercentOfReading">0 to 5.</param>
/// <param name="PercentOfRange">0 to 5; 0 where the maker states counts.</param>
/// <param name="RangeVolts">Full scale of the range used, volts.</param>
/// <param name="Counts">0 to 1000; 0 where the maker states percent of range.</param>
/// <param name="CountVolts">Last place of the display, volts, above 0.</param>
/// <param name="OhmsPercent">The same promise for resistance, percent of reading, 0 to 10.</param>
public sealed record ReferenceMeter(
    string Name,
    string SerialNumber,
    double PercentOfReading,
    double PercentOfRange,
    double RangeVolts,
    double Counts,
    double CountVolts,
    double OhmsPercent)
{
    /// <summary>Largest relative error, the same for every reading of the range.</summary>
    public double GainLimit => PercentOfReading / 100;

    /// <summary>Largest error that does not grow with the reading, volts.</summary>
    public double ZeroLimitVolts => PercentOfRange / 100 * RangeVolts + Counts * CountVolts;

    /// <summary>Standard uncertainty that rounding to the last place leaves, volts: q/√12 (JCGM 100:2008, F.2.2.1).</summary>
    public double RoundingUncertaintyVolts => CountVolts / Math.Sqrt(12);

    /// <summary>Standard uncertainty of a resistance read on it, ohms: rectangular (JCGM 100:2008, 4.3.7).</summary>
    public double OhmsUncertainty(double ohms) => OhmsPercent / 100 * ohms / Math.Sqrt(3);
}

public enum ResistorPlace
{
    Plate,
    Screen,
    GridStopper,
}

/// <param name="NominalOhms">What stands on it.</param>
/// <param name="Ohms">As measured.</param>
/// <param name="UncertaintyOhms">Standard uncertainty.</param>
public sealed record MeasuredResistor(ResistorPlace Place, double NominalOhms, double Ohms, double UncertaintyOhms);

public enum RailPlace
{
    PlateRail,
    BiasRail,
    Heater,
}

/// <param name="SetVolts">What it was set to.</param>
/// <param name="Volts">As measured.</param>
/// <param name="UncertaintyVolts">Standard uncertainty.</param>
public sealed record MeasuredRail(RailPlace Place, double SetVolts, double Volts, double UncertaintyVolts);
