namespace SweepRig.Analysis.Fitting;

/// <summary>Reduces J (m by n, column after column) to a triangle by Householder reflections, and turns a right-hand side along (Golub and Van Loan, Matrix Computations, 5.2; from memory).</summary>
internal static class HouseholderQr
{
    /// <param name="jacobian">Overwritten.</param>
    /// <param name="rows">m, at least n.</param>
    /// <param name="rightHandSide">Overwritten by Q^T times it.</param>
    /// <param name="triangle">Filled with R, n by n, column after column; 0 below the diagonal.</param>
    public static void Reduce(Span<double> jacobian, int rows, Span<double> rightHandSide, Span<double> triangle)
    {
        var n = jacobian.Length / rows;
        triangle.Clear();
        for (var j = 0; j < n; j++)
        {
            var pivot = jacobian.Slice(j * rows + j, rows - j);
            var length = Vectors.Length(pivot);
            for (var i = 0; i < j; i++) triangle[j * n + i] = jacobian[j * rows + i];
            if (length == 0) continue;
            var head = pivot[0];
            var signed = head >= 0 ? -length : length;
            triangle[j * n + j] = signed;
            // v = x - signed e1, scaled so that v v^T/(signed (signed - head)) is the reflection; scaling first keeps tiny columns from vanishing.
            var scale = 1 / length;
            for (var i = 0; i < pivot.Length; i++) pivot[i] *= scale;
            pivot[0] += head >= 0 ? 1 : -1;
            var factor = -1 / Math.Abs(pivot[0]);
            for (var k = j + 1; k < n; k++) Reflect(pivot, factor, jacobian.Slice(k * rows + j, rows - j));
            Reflect(pivot, factor, rightHandSide[j..]);
        }
    }

    private static void Reflect(ReadOnlySpan<double> v, double factor, Span<double> x) => Vectors.Add(factor * Vectors.Dot(v, x), v, x);
}
