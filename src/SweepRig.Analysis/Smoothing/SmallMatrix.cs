namespace SweepRig.Analysis.Smoothing;

/// <summary>
/// Inverse of a positive definite matrix of a few rows, in place. A curve takes some ten thousand of them; a general linear algebra library spent
/// 35 ms a curve on their objects, this spends a few.
/// </summary>
internal static class SmallMatrix
{
    /// <param name="a">n rows of n, one after the other; replaced by the inverse.</param>
    /// <param name="n">Rows.</param>
    /// <returns>False when the matrix is singular to rounding.</returns>
    public static bool TryInvert(Span<double> a, int n)
    {
        // Gauss-Jordan without exchange of rows, which positive definite matrices do not need.
        for (var p = 0; p < n; p++)
        {
            var pivot = a[p * n + p];
            if (!(pivot > 1e-13)) return false;
            a[p * n + p] = 1;
            for (var c = 0; c < n; c++) a[p * n + c] /= pivot;
            for (var r = 0; r < n; r++)
            {
                if (r == p) continue;
                var factor = a[r * n + p];
                a[r * n + p] = 0;
                for (var c = 0; c < n; c++) a[r * n + c] -= factor * a[p * n + c];
            }
        }
        return true;
    }
}
