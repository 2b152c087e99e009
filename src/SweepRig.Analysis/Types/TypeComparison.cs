using SweepRig.Analysis.Models;
using SweepRig.Tubes.Lots;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Types;

/// <summary>How far a fitted tube lies from a type, in what the tubes of the type differ by.</summary>
/// <remarks>
/// The squared Mahalanobis distance of the constants that tell types apart, whose covariance is the sum of what the fit leaves open, what tubes of a type differ by
/// (<see cref="LotSpread"/>), what wear does (<see cref="TubeAge.WithEmission"/>: less emission, less perveance, another contact potential, all along one line), and what the constants of the
/// catalogue may be off by. For a tube of the type it is distributed as chi-square with <see cref="Telling"/>.Count degrees of freedom.
/// Constants that the sweep does not determine have a wide covariance and say nothing either way.
/// </remarks>
/// <param name="Distance2">0 or more.</param>
/// <param name="Furthest">The constant that is furthest off by itself.</param>
public sealed record TypeComparison(double Distance2, TubeParameter Furthest)
{
    /// <summary>Constants that differ between types by much more than between the tubes of one.</summary>
    public static IReadOnlyList<TubeParameter> Telling { get; } =
        [TubeParameter.Perveance, TubeParameter.ScreenMu, TubeParameter.GridOffset, TubeParameter.CutoffSpread, TubeParameter.PlateShare];

    /// <summary>Chi-square of 5 degrees of freedom that one tube in a thousand passes: 20.515 (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4).</summary>
    public const double Impossible = 20.515;

    /// <summary>Worn to a seventh of the emission, one standard deviation: a weak tube is none of another type (illustrative).</summary>
    private const double WearLogarithm = 2;

    public bool CannotBe => Distance2 > Impossible;

    /// <param name="fit">Of the tube.</param>
    /// <param name="type">Constants of the type.</param>
    /// <returns>Null where the fit says nothing of the tube: it was refused, or does not describe the readings.</returns>
    public static TypeComparison? Of(TubeModelFit fit, TubeParameters type)
    {
        ArgumentNullException.ThrowIfNull(fit);
        ArgumentNullException.ThrowIfNull(type);
        if (fit.Tube is not { } tube || fit.Status != ModelFitStatus.Good) return null;
        var n = Telling.Count;
        var covariance = new double[n, n];
        var apart = new double[n];
        var worn = TubeAge.WithEmission(type, Math.Exp(-WearLogarithm));
        for (var a = 0; a < n; a++)
        {
            apart[a] = Difference(tube, type, Telling[a]);
            for (var b = 0; b < n; b++)
                covariance[a, b] = fit.Covariance[(int)Telling[a] * TubeCoordinates.All.Count + (int)Telling[b]] + Difference(worn, type, Telling[a]) * Difference(worn, type, Telling[b]);
            covariance[a, a] += Square(Spread(Telling[a])) + Square(CatalogueDoubt(Telling[a]));
        }
        var furthest = Enumerable.Range(0, n).MaxBy(k => Math.Abs(apart[k]) / Math.Sqrt(covariance[k, k]));
        return new(Solve(covariance, apart), Telling[furthest]);
    }

    private static double Difference(TubeParameters one, TubeParameters other, TubeParameter parameter) =>
        TubeCoordinates.Coordinate(one, parameter) - TubeCoordinates.Coordinate(other, parameter);

    private static double Spread(TubeParameter parameter)
    {
        var spread = new LotSpread();
        return parameter switch
        {
            TubeParameter.Perveance => spread.Perveance,
            TubeParameter.ScreenMu => spread.ScreenMu,
            TubeParameter.GridOffset => spread.GridOffsetVolts,
            TubeParameter.CutoffSpread => spread.CutoffSpread,
            _ => spread.SpaceLimits,
        };
    }

    /// <summary>The constants of the catalogue are fitted to a few quoted points of new tubes at rails ten times ours; one standard deviation, illustrative.</summary>
    private static double CatalogueDoubt(TubeParameter parameter) => parameter switch
    {
        TubeParameter.GridOffset => 0.1,
        TubeParameter.CutoffSpread => 0.2,
        TubeParameter.ScreenMu => 0.05,
        _ => 0.1,
    };

    private static double Square(double value) => value * value;

    /// <summary>x' A^-1 x by Cholesky's factors of A, which is positive definite.</summary>
    private static double Solve(double[,] a, double[] x)
    {
        var n = x.Length;
        double sum = 0;
        var y = new double[n];
        var l = new double[n, n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var s = a[i, j];
                for (var k = 0; k < j; k++) s -= l[i, k] * l[j, k];
                l[i, j] = i == j ? Math.Sqrt(s) : s / l[j, j];
            }
            y[i] = x[i];
            for (var k = 0; k < i; k++) y[i] -= l[i, k] * y[k];
            y[i] /= l[i, i];
            sum += y[i] * y[i];
        }
        return sum;
    }
}
