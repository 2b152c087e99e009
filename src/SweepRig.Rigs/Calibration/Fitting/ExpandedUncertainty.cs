using MathNet.Numerics.Distributions;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Calibration.Fitting;

/// <summary>Expanded uncertainties: half width of the interval that holds the true value with 95 % probability.</summary>
/// <remarks>
/// The error of a reading is the sum of two rectangular parts, gain and zero of the reference meter, and a normal one. A factor k = 2 would be too wide where the rectangular ones
/// lead (JCGM 100:2008, G.2.2). Their sum has a distribution function in closed form, of which the symmetric interval is taken (JCGM 101:2008, 7.7):
/// F(x) = [S(x+a+b) - S(x+a-b) - S(x-a+b) + S(x-a-b)] / 4ab, where S is the second integral of the normal distribution function of standard deviation s,
/// S(x) = s²/2 · [(z²+1)Φ(z) + zφ(z)], z = x/s.
/// </remarks>
public static class ExpandedUncertainty
{
    public const double Probability = 0.95;

    /// <param name="a">Half width of one rectangular part, 0 or more.</param>
    /// <param name="b">Of the other.</param>
    /// <param name="normal">Standard deviation of the normal part, 0 or more.</param>
    /// <returns>Half width, in the same unit.</returns>
    public static double HalfWidth(double a, double b, double normal)
    {
        var (wide, narrow) = (Math.Max(a, b), Math.Min(a, b));
        if (wide <= 0) return Normal.InvCDF(0, 1, (1 + Probability) / 2) * normal;
        // The closed form divides by the widths: parts that are nothing beside the widest are given a width that is nothing.
        var least = 1e-3 * Math.Max(wide, normal);
        (wide, narrow, normal) = (Math.Max(wide, least), Math.Max(narrow, least), Math.Max(normal, least));
        double low = 0, high = wide + narrow + 6 * normal;
        for (var i = 0; i < 60; i++)
        {
            var middle = (low + high) / 2;
            if (2 * Distribution(middle, wide, narrow, normal) - 1 < Probability) low = middle;
            else high = middle;
        }
        return high;
    }

    /// <summary>Expanded uncertainty of a corrected voltage.</summary>
    /// <param name="correction">The correction.</param>
    /// <param name="volts">Corrected voltage.</param>
    /// <param name="readingUncertainty">Standard uncertainty of the reading itself, volts: scatter and resolution.</param>
    public static double Of(VoltageCorrection correction, double volts, double readingUncertainty = 0)
    {
        ArgumentNullException.ThrowIfNull(correction);
        var fit = correction.FitUncertaintyAt(volts);
        return HalfWidth(Math.Abs(correction.MeterGainLimit * volts), correction.MeterZeroLimitVolts, Math.Sqrt(fit * fit + readingUncertainty * readingUncertainty));
    }

    private static double Distribution(double x, double a, double b, double s) =>
        (Twice(x + a + b, s) - Twice(x + a - b, s) - Twice(x - a + b, s) + Twice(x - a - b, s)) / (4 * a * b);

    private static double Twice(double x, double s)
    {
        var z = x / s;
        // Beyond 9 standard deviations the normal density is below 1e-18.
        if (z > 9) return s * s / 2 * (z * z + 1);
        return z < -9 ? 0 : s * s / 2 * ((z * z + 1) * Normal.CDF(0, 1, z) + z * Normal.PDF(0, 1, z));
    }
}
