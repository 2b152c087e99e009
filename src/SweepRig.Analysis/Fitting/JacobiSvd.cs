namespace SweepRig.Analysis.Fitting;

/// <summary>Singular values of a small square matrix by one-sided Jacobi rotations.</summary>
/// <remarks>Hestenes 1958, J. SIAM 6, 51. Keeps the relative accuracy of small singular values of a matrix with scaled columns, which the usual bidiagonal
/// method does not (Demmel and Veselic 1992, SIAM J. Matrix Anal. 13, 1204); both from memory. The rank test rests on those.</remarks>
internal static class JacobiSvd
{
    private const int MostSweeps = 60;

    /// <summary>A = U S V^T.</summary>
    /// <param name="a">A, n by n, column after column; overwritten by U, in the order of the singular values.</param>
    /// <param name="n">Size.</param>
    /// <param name="singular">Filled, largest first.</param>
    /// <param name="right">Filled with the columns of V.</param>
    public static void Decompose(Span<double> a, int n, Span<double> singular, Span<double> right)
    {
        right.Clear();
        for (var j = 0; j < n; j++) right[j * n + j] = 1;
        for (var sweep = 0; sweep < MostSweeps; sweep++)
        {
            var rotated = false;
            for (var p = 0; p < n - 1; p++)
                for (var q = p + 1; q < n; q++)
                    rotated |= Rotate(a, right, n, p, q);
            if (!rotated) break;
        }
        for (var j = 0; j < n; j++) singular[j] = Vectors.Length(a.Slice(j * n, n));
        for (var j = 0; j < n; j++)
        {
            var largest = j;
            for (var k = j + 1; k < n; k++)
                if (singular[k] > singular[largest]) largest = k;
            if (largest != j) Swap(a, singular, right, n, j, largest);
            if (singular[j] == 0) continue;
            for (var i = 0; i < n; i++) a[j * n + i] /= singular[j];
        }
    }

    private static bool Rotate(Span<double> a, Span<double> right, int n, int p, int q)
    {
        Span<double> cp = a.Slice(p * n, n), cq = a.Slice(q * n, n);
        double pp = 0, qq = 0, pq = 0;
        for (var i = 0; i < n; i++)
        {
            pp += cp[i] * cp[i];
            qq += cq[i] * cq[i];
            pq += cp[i] * cq[i];
        }
        if (pq == 0 || Math.Abs(pq) <= 1e-15 * Math.Sqrt(pp) * Math.Sqrt(qq)) return false;
        var zeta = (qq - pp) / (2 * pq);
        var tangent = (zeta >= 0 ? 1 : -1) / (Math.Abs(zeta) + Math.Sqrt(1 + zeta * zeta));
        var cosine = 1 / Math.Sqrt(1 + tangent * tangent);
        var sine = cosine * tangent;
        Turn(cp, cq, cosine, sine);
        Turn(right.Slice(p * n, n), right.Slice(q * n, n), cosine, sine);
        return true;
    }

    private static void Turn(Span<double> p, Span<double> q, double cosine, double sine)
    {
        for (var i = 0; i < p.Length; i++) (p[i], q[i]) = (cosine * p[i] - sine * q[i], sine * p[i] + cosine * q[i]);
    }

    private static void Swap(Span<double> a, Span<double> singular, Span<double> right, int n, int j, int k)
    {
        (singular[j], singular[k]) = (singular[k], singular[j]);
        for (var i = 0; i < n; i++)
        {
            (a[j * n + i], a[k * n + i]) = (a[k * n + i], a[j * n + i]);
            (right[j * n + i], right[k * n + i]) = (right[k * n + i], right[j * n + i]);
        }
    }
}
