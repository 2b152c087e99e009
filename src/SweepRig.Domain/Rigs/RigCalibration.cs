namespace SweepRig.Domain.Rigs;

/// <summary>How far a rig's channels depart from nominal. Stored with each run, so that a better one can be applied to old codes.</summary>
/// <param name="Id">Identifier; <c>nominal</c> when nothing was calibrated.</param>
/// <param name="RigSerialNumber">The rig it was made for.</param>
/// <param name="Channels">Correction of each measured channel, in link order.</param>
/// <param name="Drive">Correction of the drive.</param>
public sealed record RigCalibration(string Id, string RigSerialNumber, IReadOnlyList<LinearCorrection> Channels, LinearCorrection Drive)
{
    public const string NominalId = "nominal";

    public bool IsNominal => Id == NominalId;

    /// <summary>No corrections; the uncertainty is what an uncalibrated divider of 1 % resistors and its converter offset leave.</summary>
    public static RigCalibration Nominal(RigIdentity rig) =>
        new(NominalId, rig.SerialNumber, [.. rig.Channels.Select(_ => LinearCorrection.Nominal)], LinearCorrection.Nominal);
}

/// <summary>true = gain · nominal + offset.</summary>
/// <param name="Gain">Dimensionless, near 1.</param>
/// <param name="OffsetVolts">Volts.</param>
/// <param name="GainUncertainty">Standard uncertainty of the gain, dimensionless.</param>
/// <param name="OffsetUncertaintyVolts">Standard uncertainty of the offset, volts.</param>
public sealed record LinearCorrection(double Gain, double OffsetVolts, double GainUncertainty, double OffsetUncertaintyVolts)
{
    /// <summary>Two 1 % resistors, rectangular: 0.01·sqrt(2)/sqrt(3); offset 10 mV rectangular (GUM 4.3.7). Assumed of an uncalibrated rig.</summary>
    public static LinearCorrection Nominal { get; } = new(1, 0, 0.0082, 0.0058);

    /// <summary>Corrected voltage, in volts.</summary>
    public double Apply(double nominalVolts) => Gain * nominalVolts + OffsetVolts;

    /// <summary>Standard uncertainty of a corrected voltage from gain and offset alone, in volts.</summary>
    public double UncertaintyAt(double volts) =>
        Math.Sqrt(volts * volts * GainUncertainty * GainUncertainty + OffsetUncertaintyVolts * OffsetUncertaintyVolts);
}
