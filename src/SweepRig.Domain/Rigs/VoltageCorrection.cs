namespace SweepRig.Domain.Rigs;

/// <summary>
/// true = atCentre + slope · (nominal - centre) + cubic · ((nominal - centre) / halfSpan)³, with what is known of its uncertainty.
/// </summary>
/// <remarks>
/// The uncertainty has two parts. The covariance of the parameters shrinks with more points. The errors of the reference meter do not: one gain and one
/// zero error were behind all of its readings, and are carried as limits of rectangular distributions (JCGM 100:2008, 4.3.7).
/// </remarks>
/// <param name="AtCentreVolts">True voltage at the centre.</param>
/// <param name="Slope">Dimensionless, near 1.</param>
/// <param name="CubicVolts">What the cubic term adds at the ends of the span; 0 where a straight line is enough.</param>
/// <param name="CentreVolts">Middle of the calibrated nominal voltages.</param>
/// <param name="HalfSpanVolts">Half of their span, above 0.</param>
/// <param name="Covariance">Of the three parameters, meter errors left out.</param>
/// <param name="MeterGainLimit">Largest relative error of the reference meter, 0 or more.</param>
/// <param name="MeterZeroLimitVolts">Largest error of the reference meter at 0 V, volts, 0 or more.</param>
public sealed record VoltageCorrection(
    double AtCentreVolts,
    double Slope,
    double CubicVolts,
    double CentreVolts,
    double HalfSpanVolts,
    CorrectionCovariance Covariance,
    double MeterGainLimit,
    double MeterZeroLimitVolts)
{
    /// <summary>A straight line through gain and offset whose errors have nothing to do with each other.</summary>
    /// <param name="gain">Dimensionless, near 1.</param>
    /// <param name="offsetVolts">True voltage at nominal 0 V.</param>
    /// <param name="gainUncertainty">Standard uncertainty of the gain, dimensionless.</param>
    /// <param name="offsetUncertaintyVolts">Standard uncertainty of the offset, volts.</param>
    public VoltageCorrection(double gain, double offsetVolts, double gainUncertainty, double offsetUncertaintyVolts)
        : this(offsetVolts, gain, 0, 0, 1, new(offsetUncertaintyVolts * offsetUncertaintyVolts, 0, gainUncertainty * gainUncertainty, 0, 0, 0), 0, 0)
    {
    }

    /// <summary>Two 1 % resistors, rectangular: 0.01·sqrt(2)/sqrt(3); offset 10 mV rectangular (GUM 4.3.7). Assumed of an uncalibrated rig.</summary>
    public static VoltageCorrection Nominal { get; } = new(1, 0, 0.0082, 0.0058);

    /// <summary>Lowest and highest nominal voltage that was compared with the meter; null where nothing was.</summary>
    public CalibratedRange? Range { get; init; }

    /// <summary>Points that it was fitted to, and the standard deviation of what they leave over; null where nothing was fitted.</summary>
    public FitQuality? Quality { get; init; }

    /// <summary>Gain at the centre, dimensionless.</summary>
    public double Gain => Slope;

    /// <summary>True voltage at nominal 0 V.</summary>
    public double OffsetVolts => Apply(0);

    /// <summary>Standard uncertainty of the gain, the meter's gain error included.</summary>
    public double GainUncertainty => Math.Sqrt(Covariance.Slope + Square(Slope * MeterGainLimit) / 3);

    /// <summary>Standard uncertainty of the voltage that stands at nominal 0 V, volts.</summary>
    public double OffsetUncertaintyVolts => UncertaintyAt(OffsetVolts);

    /// <summary>Corrected voltage, in volts.</summary>
    public double Apply(double nominalVolts)
    {
        var x = nominalVolts - CentreVolts;
        var t = x / HalfSpanVolts;
        return AtCentreVolts + Slope * x + CubicVolts * t * t * t;
    }

    /// <summary>Nominal voltage that gives a corrected one, in volts.</summary>
    public double Invert(double volts)
    {
        var x = (volts - AtCentreVolts) / Slope;
        if (CubicVolts == 0) return CentreVolts + x;
        // The cubic part is a small fraction of the line, so Newton's steps from the line settle at once.
        for (var i = 0; i < 8; i++)
        {
            var t = x / HalfSpanVolts;
            var change = (AtCentreVolts + Slope * x + CubicVolts * t * t * t - volts) / (Slope + 3 * CubicVolts * t * t / HalfSpanVolts);
            x -= change;
            if (Math.Abs(change) < 1e-12) break;
        }
        return CentreVolts + x;
    }

    /// <summary>Standard uncertainty of a corrected voltage by the fit alone, volts: the parameters are correlated, JCGM 100:2008, 5.2.2, equation (13).</summary>
    public double FitUncertaintyAt(double volts) => Math.Sqrt(Covariance.Of(WeightsAt(volts)));

    /// <summary>Covariance of two corrected voltages by the fit alone, V²: both come from the same parameters.</summary>
    public double FitCovariance(double aVolts, double bVolts) => Covariance.Between(WeightsAt(aVolts), WeightsAt(bVolts));

    /// <summary>Standard uncertainty of a corrected voltage from the correction alone, in volts, meter included.</summary>
    public double UncertaintyAt(double volts) =>
        Math.Sqrt(Square(FitUncertaintyAt(volts)) + (Square(MeterGainLimit * volts) + Square(MeterZeroLimitVolts)) / 3);

    /// <summary>True for a voltage outside the compared ones by more than a fiftieth of their span.</summary>
    public bool Extrapolates(double volts)
    {
        if (Range is not { } range) return false;
        var nominal = Invert(volts);
        var room = 0.02 * (range.ToVolts - range.FromVolts);
        return nominal < range.FromVolts - room || nominal > range.ToVolts + room;
    }

    private ParameterWeights WeightsAt(double volts)
    {
        var x = Invert(volts) - CentreVolts;
        var t = x / HalfSpanVolts;
        return new(1, x, t * t * t);
    }

    private static double Square(double x) => x * x;
}

/// <summary>Derivatives of something by the three parameters of a correction.</summary>
public readonly record struct ParameterWeights(double AtCentre, double Slope, double Cubic);

/// <summary>Variances and covariances of the parameters of a correction, meter errors left out.</summary>
/// <param name="AtCentre">V².</param>
/// <param name="AtCentreSlope">V.</param>
/// <param name="Slope">Dimensionless.</param>
/// <param name="AtCentreCubic">V².</param>
/// <param name="SlopeCubic">V.</param>
/// <param name="Cubic">V².</param>
public readonly record struct CorrectionCovariance(double AtCentre, double AtCentreSlope, double Slope, double AtCentreCubic, double SlopeCubic, double Cubic)
{
    /// <summary>Variance of what has these derivatives by the parameters, in the square of its unit.</summary>
    public double Of(ParameterWeights p) => Math.Max(0, Between(p, p));

    /// <summary>Covariance of two such things (JCGM 100:2008, F.1.2.3, equation (F.2)).</summary>
    public double Between(ParameterWeights p, ParameterWeights q) =>
        p.AtCentre * (AtCentre * q.AtCentre + AtCentreSlope * q.Slope + AtCentreCubic * q.Cubic)
        + p.Slope * (AtCentreSlope * q.AtCentre + Slope * q.Slope + SlopeCubic * q.Cubic)
        + p.Cubic * (AtCentreCubic * q.AtCentre + SlopeCubic * q.Slope + Cubic * q.Cubic);
}

/// <param name="FromVolts">Lowest nominal voltage compared.</param>
/// <param name="ToVolts">Highest.</param>
public readonly record struct CalibratedRange(double FromVolts, double ToVolts);

/// <param name="Points">Readings that the correction was fitted to.</param>
/// <param name="ResidualVolts">Standard deviation of what they leave over.</param>
public readonly record struct FitQuality(int Points, double ResidualVolts);
