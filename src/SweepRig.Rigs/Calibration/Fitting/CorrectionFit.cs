using MathNet.Numerics.Distributions;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Calibration.Fitting;

/// <summary>One comparison of the rig with the reference meter.</summary>
/// <param name="NominalVolts">What the rig says by its nominal scale.</param>
/// <param name="NominalUncertaintyVolts">Standard uncertainty of that: scatter of the average and resolution; 0 for a DAC code.</param>
/// <param name="MeterVolts">What the meter says.</param>
public readonly record struct ComparedPoint(double NominalVolts, double NominalUncertaintyVolts, double MeterVolts);

/// <param name="Correction">The line, or the line with a cubic term.</param>
/// <param name="Residuals">Meter less correction, volts, in the order of the points.</param>
/// <param name="FRatio">Variance ratio of the cubic term; NaN with too few points to ask.</param>
/// <param name="FLimit">Ratio that it must exceed to be taken up.</param>
/// <param name="Scale">χ²/ν of the fit kept; above 1 the points scatter more than stated, and the covariance was multiplied by it.</param>
public sealed record FittedCorrection(VoltageCorrection Correction, double[] Residuals, double FRatio, double FLimit, double Scale)
{
    public bool HasCubicTerm => Correction.CubicVolts != 0;
}

/// <summary>Gain and offset of a channel from its comparisons, and a cubic term only if the residuals ask for it. Pure.</summary>
/// <remarks>
/// Weights: u² = u²(nominal) + u²(rounding of the meter); the gain is so near to 1 that an error of the nominal voltage is one of the reading. A cubic term is taken
/// up when F = (χ²₁ - χ²₃)/(χ²₃/ν₃) exceeds the 99 % point of F(1, ν₃) (the extra-sum-of-squares test). Where χ²/ν of what is kept exceeds 1, the covariance is
/// multiplied by it (Birge's ratio, R. T. Birge, Phys. Rev. 40 (1932) 207). The meter's gain and zero error are common to all points: they are left out of the weights and carried beside.
/// </remarks>
public static class CorrectionFit
{
    /// <summary>Chance of taking up a cubic term that is not there.</summary>
    public const double FalseCubic = 0.01;

    /// <summary>Fewest points of a line, and of the question whether it bends.</summary>
    public const int LeastPoints = 3, LeastPointsForCubic = 5;

    /// <param name="points">At least <see cref="LeastPoints"/>, not all at the same voltage.</param>
    /// <param name="meter">What they were read on.</param>
    /// <exception cref="ArgumentException">Too few points, or all in one place.</exception>
    public static FittedCorrection Of(IReadOnlyList<ComparedPoint> points, ReferenceMeter meter)
    {
        ArgumentNullException.ThrowIfNull(points);
        ArgumentNullException.ThrowIfNull(meter);
        if (points.Count < LeastPoints) throw new ArgumentException($"A correction needs {LeastPoints} points; here are {points.Count}.", nameof(points));
        var (low, high) = (points.Min(p => p.NominalVolts), points.Max(p => p.NominalVolts));
        var (centre, half) = ((low + high) / 2, (high - low) / 2);
        if (!(half > 0)) throw new ArgumentException("All points lie at the same voltage.", nameof(points));
        var sigma = points.Select(p => Math.Sqrt(Square(p.NominalUncertaintyVolts) + Square(meter.RoundingUncertaintyVolts))).ToArray();
        var y = points.Select(p => p.MeterVolts).ToArray();
        var line = LeastSquares.Solve([.. points.Select(p => new[] { 1, p.NominalVolts - centre })], y, sigma);
        var (kept, ratio, limit) = (line, double.NaN, double.NaN);
        if (points.Count >= LeastPointsForCubic)
        {
            var cubic = LeastSquares.Solve([.. points.Select(p => new[] { 1, p.NominalVolts - centre, Math.Pow((p.NominalVolts - centre) / half, 3) })], y, sigma);
            ratio = (line.ChiSquare - cubic.ChiSquare) / (cubic.ChiSquare / cubic.DegreesOfFreedom);
            limit = FisherSnedecor.InvCDF(1, cubic.DegreesOfFreedom, 1 - FalseCubic);
            if (ratio > limit) kept = cubic;
        }
        var scale = kept.ChiSquare / kept.DegreesOfFreedom;
        var range = new CalibratedRange(low, high);
        var correction = Assemble(kept, Math.Max(1, scale), centre, half, meter) with { Range = range };
        var residuals = points.Select(p => p.MeterVolts - correction.Apply(p.NominalVolts)).ToArray();
        var scatter = Math.Sqrt(residuals.Sum(Square) / kept.DegreesOfFreedom);
        return new(correction with { Quality = new(points.Count, scatter) }, residuals, ratio, limit, scale);
    }

    private static VoltageCorrection Assemble(LinearFit fit, double scale, double centre, double half, ReferenceMeter meter)
    {
        var c = fit.Covariance;
        var hasCubic = fit.Parameters.Length == 3;
        var covariance = new CorrectionCovariance(
            scale * c[0, 0], scale * c[0, 1], scale * c[1, 1], hasCubic ? scale * c[0, 2] : 0, hasCubic ? scale * c[1, 2] : 0, hasCubic ? scale * c[2, 2] : 0);
        return new(fit.Parameters[0], fit.Parameters[1], hasCubic ? fit.Parameters[2] : 0, centre, half, covariance, meter.GainLimit, meter.ZeroLimitVolts);
    }

    private static double Square(double x) => x * x;
}
