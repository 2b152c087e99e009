namespace SweepRig.Analysis.Fitting;

/// <summary>
/// Singular values of a Jacobian whose columns were scaled to length 1: J = U S V^T D. From it come covariance, rank, and the directions in parameter space
/// along which the residuals do not change.
/// </summary>
public sealed class JacobianDecomposition
{
    private readonly double[] _singular;
    private readonly double[] _right;
    private readonly double[] _scale;
    private readonly double _rankTolerance;

    /// <param name="triangle">R of the QR factors of J, column after column, n by n.</param>
    /// <param name="free">Which parameters took part; the others have no uncertainty of their own.</param>
    /// <param name="rankTolerance">See <see cref="FitOptions.RankTolerance"/>.</param>
    internal JacobianDecomposition(ReadOnlySpan<double> triangle, ReadOnlySpan<bool> free, double rankTolerance)
    {
        var n = free.Length;
        _rankTolerance = rankTolerance;
        _scale = new double[n];
        _singular = new double[n];
        _right = new double[n * n];
        var scaled = new double[n * n];
        for (var j = 0; j < n; j++)
        {
            var column = triangle.Slice(j * n, n);
            var length = free[j] ? Vectors.Length(column) : 0;
            _scale[j] = length;
            if (length > 0)
                for (var i = 0; i < n; i++) scaled[j * n + i] = column[i] / length;
        }
        JacobiSvd.Decompose(scaled, n, _singular, _right);
    }

    public int Count => _scale.Length;

    /// <summary>Length of each column of the Jacobian: what one unit of the parameter does to all residuals together. 0 for a parameter held at a bound or without effect.</summary>
    public IReadOnlyList<double> Effect => _scale;

    /// <summary>Singular values of the scaled Jacobian.</summary>
    public IReadOnlyList<double> Singular => _singular;

    /// <summary>Number of directions that the data determine.</summary>
    public int Rank
    {
        get
        {
            var rank = 0;
            foreach (var s in _singular) rank += IsOpen(s) ? 0 : 1;
            return rank;
        }
    }

    /// <summary>Share of a parameter's axis that lies in directions which the data leave open, 0 to 1.</summary>
    public double OpenShare(int parameter)
    {
        if (_scale[parameter] == 0) return 1;
        double sum = 0;
        for (var k = 0; k < Count; k++)
            if (IsOpen(_singular[k])) sum += Square(_right[k * Count + parameter]);
        return sum;
    }

    /// <summary>Covariance of two parameters for residuals of unit variance, open directions left out.</summary>
    public double Covariance(int a, int b)
    {
        if (_scale[a] == 0 || _scale[b] == 0) return 0;
        double sum = 0;
        for (var k = 0; k < Count; k++)
            if (!IsOpen(_singular[k])) sum += _right[k * Count + a] * _right[k * Count + b] / Square(_singular[k]);
        return sum / (_scale[a] * _scale[b]);
    }

    /// <summary>Element of J^T J.</summary>
    public double Information(int a, int b)
    {
        double sum = 0;
        for (var k = 0; k < Count; k++) sum += _right[k * Count + a] * _right[k * Count + b] * Square(_singular[k]);
        return sum * _scale[a] * _scale[b];
    }

    /// <summary>Standard uncertainties for residuals of unit variance; infinite for a parameter that has a part in an open direction.</summary>
    public double[] Uncertainties()
    {
        var result = new double[Count];
        for (var j = 0; j < Count; j++) result[j] = OpenShare(j) > 1e-6 ? double.PositiveInfinity : Math.Sqrt(Covariance(j, j));
        return result;
    }

    /// <summary>Variance of a linear function of the parameters for residuals of unit variance, open directions left out.</summary>
    public double Variance(ReadOnlySpan<double> gradient)
    {
        double variance = 0;
        for (var k = 0; k < Count; k++)
        {
            if (IsOpen(_singular[k])) continue;
            double along = 0;
            for (var j = 0; j < Count; j++)
                if (_scale[j] > 0) along += _right[k * Count + j] * gradient[j] / _scale[j];
            variance += Square(along / _singular[k]);
        }
        return variance;
    }

    /// <summary>Part of a linear function of the parameters that lies in open directions, against its whole length, both scaled by the effect of the parameters.</summary>
    public double OpenPart(ReadOnlySpan<double> gradient)
    {
        double open = 0, whole = 0;
        for (var k = 0; k < Count; k++)
        {
            double along = 0;
            for (var j = 0; j < Count; j++)
                if (_scale[j] > 0) along += _right[k * Count + j] * gradient[j] / _scale[j];
            whole += along * along;
            if (IsOpen(_singular[k])) open += along * along;
        }
        return whole == 0 ? 0 : Math.Sqrt(open / whole);
    }

    private bool IsOpen(double singular) => !(singular > _rankTolerance * _singular[0]);

    private static double Square(double x) => x * x;
}
