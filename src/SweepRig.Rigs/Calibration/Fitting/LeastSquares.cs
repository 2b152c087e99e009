using MathNet.Numerics.LinearAlgebra;

namespace SweepRig.Rigs.Calibration.Fitting;

/// <summary>Weighted linear least squares by QR factors. Pure.</summary>
/// <remarks>
/// Minimises Σ ((y_i - Σ_j x_ij b_j) / σ_i)². With X̃ = X/σ = QR: R b = Qᵀ ỹ, and the covariance of b is (X̃ᵀX̃)⁻¹ = R⁻¹R⁻ᵀ where the σ are known. Where they are known up
/// to a factor only, it is multiplied by χ²/(n - p): JCGM 100:2008, H.3.2, equations (H.13a) to (H.13f), which are this for a straight line.
/// </remarks>
public static class LeastSquares
{
    /// <param name="rows">One row of regressors for each observation, all of the same length p.</param>
    /// <param name="y">Observations, n of them, n &gt; p.</param>
    /// <param name="sigma">Their standard uncertainties, above 0; null for all equal and unknown, so that the residuals tell it.</param>
    /// <exception cref="ArgumentException">Fewer observations than parameters need, or regressors that cannot be told apart.</exception>
    public static LinearFit Solve(IReadOnlyList<double[]> rows, IReadOnlyList<double> y, IReadOnlyList<double>? sigma)
    {
        ArgumentNullException.ThrowIfNull(rows);
        ArgumentNullException.ThrowIfNull(y);
        var (n, p) = (rows.Count, rows.Count > 0 ? rows[0].Length : 0);
        if (n <= p || y.Count != n || (sigma is not null && sigma.Count != n))
            throw new ArgumentException($"A fit of {p} parameters needs more than {p} observations, each with its regressors; here are {n}.", nameof(rows));
        var x = Matrix<double>.Build.Dense(n, p, (i, j) => rows[i][j] / (sigma?[i] ?? 1));
        var weighted = Vector<double>.Build.Dense(n, i => y[i] / (sigma?[i] ?? 1));
        var qr = x.QR(MathNet.Numerics.LinearAlgebra.Factorization.QRMethod.Thin);
        for (var j = 0; j < p; j++)
        {
            // A regressor that is a combination of the others leaves nothing on its diagonal but rounding.
            if (Math.Abs(qr.R[j, j]) <= 1e-13 * x.Column(j).L2Norm())
                throw new ArgumentException($"Regressor {j} cannot be told from those before it: the points lie too close together.", nameof(rows));
        }
        var b = qr.R.Solve(qr.Q.TransposeThisAndMultiply(weighted));
        var inverse = qr.R.Inverse();
        var chiSquare = Math.Pow((weighted - x * b).L2Norm(), 2);
        var degrees = n - p;
        var covariance = inverse.TransposeAndMultiply(inverse);
        if (sigma is null) covariance *= chiSquare / degrees;
        return new(b.ToArray(), covariance.ToArray(), chiSquare, degrees);
    }
}

/// <param name="Parameters">Best estimates.</param>
/// <param name="Covariance">Of the parameters, p by p.</param>
/// <param name="ChiSquare">Sum of squared residuals in units of their standard uncertainties; plain squares where none were given.</param>
/// <param name="DegreesOfFreedom">Observations less parameters, 1 or more.</param>
public sealed record LinearFit(double[] Parameters, double[,] Covariance, double ChiSquare, int DegreesOfFreedom)
{
    public double Uncertainty(int parameter) => Math.Sqrt(Covariance[parameter, parameter]);

    public double Correlation(int a, int b) => Covariance[a, b] / (Uncertainty(a) * Uncertainty(b));

    /// <summary>Standard uncertainty of Σ x_j b_j, correlated inputs: JCGM 100:2008, 5.2.2, equation (13).</summary>
    public double PredictionUncertainty(IReadOnlyList<double> regressors)
    {
        ArgumentNullException.ThrowIfNull(regressors);
        var variance = 0.0;
        for (var i = 0; i < regressors.Count; i++)
            for (var j = 0; j < regressors.Count; j++) variance += regressors[i] * regressors[j] * Covariance[i, j];
        return Math.Sqrt(Math.Max(0, variance));
    }
}
