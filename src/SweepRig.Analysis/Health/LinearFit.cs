using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Double;

namespace SweepRig.Analysis.Health;

/// <summary>Least squares of a line in several regressors, by QR on scaled columns.</summary>
/// <param name="Values">Coefficients, in the order of the columns.</param>
/// <param name="Uncertainties">Standard uncertainties: stated weights, enlarged by what the residuals leave over when that is more.</param>
/// <param name="ResidualDeviation">Root of the mean square of the residuals in units of y, by degrees of freedom.</param>
internal sealed record LinearFit(double[] Values, double[] Uncertainties, double ResidualDeviation)
{
    /// <param name="rows">One row a point, all of the same length.</param>
    /// <param name="y">Observed.</param>
    /// <param name="sigma">Standard uncertainty of each, above 0; null for equal and unknown.</param>
    /// <returns>Null when the columns do not determine the coefficients.</returns>
    public static LinearFit? Of(IReadOnlyList<double[]> rows, IReadOnlyList<double> y, IReadOnlyList<double>? sigma = null)
    {
        var (n, p) = (rows.Count, rows.Count == 0 ? 0 : rows[0].Length);
        if (n <= p) return null;
        var scale = Enumerable.Range(0, p).Select(c => rows.Max(r => Math.Abs(r[c]))).ToArray();
        if (scale.Any(s => s == 0)) return null;
        var x = DenseMatrix.Create(n, p, (r, c) => rows[r][c] / scale[c] / (sigma?[r] ?? 1));
        var b = DenseVector.Create(n, r => y[r] / (sigma?[r] ?? 1));
        var qr = x.QR(MathNet.Numerics.LinearAlgebra.Factorization.QRMethod.Thin);
        var diagonal = Enumerable.Range(0, p).Select(i => Math.Abs(qr.R[i, i])).ToArray();
        if (diagonal.Min() < 1e-10 * diagonal.Max()) return null;
        Vector<double> solution = qr.Solve(b);
        var left = b - x * solution;
        var variance = left.DotProduct(left) / (n - p);
        var inverse = qr.R.Inverse();
        // Weights that are stated are believed unless the residuals are worse (Birge ratio above 1).
        var enlarge = sigma is null ? variance : Math.Max(1, variance);
        var uncertainties = Enumerable.Range(0, p).Select(i => Math.Sqrt(enlarge * inverse.Row(i).DotProduct(inverse.Row(i))) / scale[i]).ToArray();
        return new([.. solution.Select((v, i) => v / scale[i])], uncertainties, Math.Sqrt(variance));
    }
}
