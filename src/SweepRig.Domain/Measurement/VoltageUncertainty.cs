using SweepRig.Domain.Rigs;

namespace SweepRig.Domain.Measurement;

/// <summary>What is known of the voltages of one place.</summary>
/// <param name="Place">Which.</param>
/// <param name="Correction">From nominal to corrected volts, with the covariance of its parameters and the limits of the reference meter.</param>
/// <param name="ResolutionVolts">Standard uncertainty that the resolution of a stored code leaves in each reading by itself, volts: q/√12 (JCGM 100:2008, F.2.2.1). 0 for the drive, whose code is commanded.</param>
public sealed record VoltageUncertainty(VoltagePlace Place, VoltageCorrection Correction, double ResolutionVolts)
{
    /// <summary>Standard uncertainty of a corrected voltage, volts: correction and meter. Scatter and resolution of a reading come on top.</summary>
    public double At(double volts) => Correction.UncertaintyAt(volts);

    /// <summary>Gain and offset with their covariance, as they stand at a voltage: those of the tangent where there is a cubic term, the same everywhere where there is none.</summary>
    public LineUncertainty LineAt(double volts)
    {
        var nominal = Correction.Invert(volts);
        var x = nominal - Correction.CentreVolts;
        var t = x / Correction.HalfSpanVolts;
        var (cube, bend) = (t * t * t, 3 * t * t / Correction.HalfSpanVolts);
        var gain = Correction.Slope + Correction.CubicVolts * bend;
        var offset = Correction.Apply(nominal) - gain * nominal;
        // Derivatives of gain and offset by the parameters: gain (0, 1, bend), offset (1, x - nominal, cube - bend * nominal).
        var c = Correction.Covariance;
        var (fromSlope, fromCubic) = (x - nominal, cube - bend * nominal);
        var (gainLimit, zeroLimit) = (Correction.MeterGainLimit, Correction.MeterZeroLimitVolts);
        return new(
            gain,
            offset,
            c.Of(new(0, 1, bend)) + gainLimit * gainLimit * gain * gain / 3,
            c.Of(new(1, fromSlope, fromCubic)) + (gainLimit * gainLimit * offset * offset + zeroLimit * zeroLimit) / 3,
            c.Between(new(0, 1, bend), new(1, fromSlope, fromCubic)) + gainLimit * gainLimit * gain * offset / 3);
    }
}

/// <summary>A straight line from nominal to corrected volts, the reference meter's share included: volts = gain · nominal + offset.</summary>
/// <param name="Gain">Dimensionless, near 1.</param>
/// <param name="OffsetVolts">V.</param>
/// <param name="GainVariance">Dimensionless.</param>
/// <param name="OffsetVariance">V².</param>
/// <param name="GainOffsetCovariance">V.</param>
public sealed record LineUncertainty(double Gain, double OffsetVolts, double GainVariance, double OffsetVariance, double GainOffsetCovariance)
{
    /// <summary>Variance of the corrected voltage that the line gives for a nominal one, V² (JCGM 100:2008, 5.2.2, equation (13)).</summary>
    public double VarianceAt(double nominalVolts) => GainVariance * nominalVolts * nominalVolts + OffsetVariance + 2 * nominalVolts * GainOffsetCovariance;
}
