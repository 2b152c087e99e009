using MathNet.Numerics.Distributions;

namespace SweepRig.Analysis.Uncertainty;

/// <summary>How many standard uncertainties the interval of a stated probability reaches to either side.</summary>
/// <remarks>
/// The sum of two rectangular errors of half widths a and b and a normal one of standard deviation s has the distribution function
/// F(x) = [S(x+a+b) - S(x+a-b) - S(x-a+b) + S(x-a-b)] / 4ab with S(x) = s²/2 · [(z²+1)Φ(z) + zφ(z)], z = x/s, the second integral of the normal one
/// (convolution, as JCGM 101:2008, 5.2.2 c). The two widest rectangular sources are taken so; all others go into the normal part, as the central limit
/// theorem has it (JCGM 100:2008, G.2).
/// </remarks>
public static class Coverage
{
    /// <summary>Of the intervals that are shown.</summary>
    public const double Probability = 0.95;

    private static readonly double NormalFactor = Normal.InvCDF(0, 1, (1 + Probability) / 2);

    /// <summary>Quantile of Student's distribution for an interval of both sides.</summary>
    /// <param name="degreesOfFreedom">1 or more; infinite for the normal distribution.</param>
    /// <param name="probability">Between 0 and 1.</param>
    public static double Student(double degreesOfFreedom, double probability) => double.IsInfinity(degreesOfFreedom)
        ? Normal.InvCDF(0, 1, (1 + probability) / 2)
        : StudentT.InvCDF(0, 1, degreesOfFreedom, (1 + probability) / 2);

    /// <summary>Factor for 95 %, heeding distributions and degrees of freedom of the sources; 2 where there is no uncertainty (JCGM 100:2008, 6.3.3).</summary>
    public static double Factor(Budget budget)
    {
        ArgumentNullException.ThrowIfNull(budget);
        var variance = budget.StandardUncertainty * budget.StandardUncertainty;
        if (!(variance > 0)) return 2;
        double first = 0, second = 0;
        foreach (var contribution in budget.Contributions)
        {
            if (contribution.Shape != ErrorShape.Rectangular) continue;
            var part = Math.Abs(contribution.Part);
            if (part > first) (first, second) = (part, first);
            else if (part > second) second = part;
        }
        // Correlations may have taken away what the widest sources brought: then nothing is known of the shape that is left.
        if (first * first + second * second > variance) (first, second) = (0, 0);
        var normal = Math.Sqrt(variance - first * first - second * second);
        return Factor(first, second, normal, budget.DegreesOfFreedom ?? double.PositiveInfinity);
    }

    /// <param name="first">Standard uncertainty of a rectangular part, 0 or more.</param>
    /// <param name="second">Of another.</param>
    /// <param name="normal">Of the normal part.</param>
    /// <param name="degreesOfFreedom">Of the whole.</param>
    public static double Factor(double first, double second, double normal, double degreesOfFreedom = double.PositiveInfinity)
    {
        var whole = Math.Sqrt(first * first + second * second + normal * normal);
        if (!(whole > 0)) return 2;
        var tails = degreesOfFreedom > 1e6 ? 1 : Student(degreesOfFreedom, Probability) / NormalFactor;
        if (Math.Max(first, second) < 0.05 * whole) return NormalFactor * tails;
        return HalfWidth(Math.Sqrt(3) * first / whole, Math.Sqrt(3) * second / whole, normal * tails / whole);
    }

    private static double HalfWidth(double a, double b, double s)
    {
        // The closed form divides by the widths: parts that are nothing beside the widest are given a width that is nothing.
        var least = 1e-3 * Math.Max(Math.Max(a, b), s);
        (a, b, s) = (Math.Max(a, least), Math.Max(b, least), Math.Max(s, least));
        double low = 0, high = a + b + 6 * s;
        for (var i = 0; i < 40; i++)
        {
            var middle = (low + high) / 2;
            var below = (Twice(middle + a + b, s) - Twice(middle + a - b, s) - Twice(middle - a + b, s) + Twice(middle - a - b, s)) / (4 * a * b);
            if (2 * below - 1 < Probability) low = middle;
            else high = middle;
        }
        return high;
    }

    private static double Twice(double x, double s)
    {
        var z = x / s;
        // Beyond 9 standard deviations the normal density is below 1e-18.
        if (z > 9) return s * s / 2 * (z * z + 1);
        return z < -9 ? 0 : s * s / 2 * ((z * z + 1) * Normal.CDF(0, 1, z) + z * Normal.PDF(0, 1, z));
    }
}
