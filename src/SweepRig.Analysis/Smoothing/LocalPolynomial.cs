namespace SweepRig.Analysis.Smoothing;

/// <summary>
/// Least-squares polynomial through a window of a trace: y = c0 + c1 z + c2 z^2 ..., z = (x - centre)/scale. On an even grid its value and
/// derivatives are those of Savitzky and Golay, Anal. Chem. 36 (1964) 1627; least squares itself needs no even grid.
/// </summary>
internal sealed class LocalPolynomial
{
    public const int MostTerms = 8;

    private readonly double[] _coefficients, _covariance;
    private double[]? _factor;

    private LocalPolynomial(double centre, double scale, double[] coefficients, double[] covariance, double residualSquares, int freeReadings)
    {
        Centre = centre;
        Scale = scale;
        _coefficients = coefficients;
        _covariance = covariance;
        ResidualSquares = residualSquares;
        FreeReadings = freeReadings;
    }

    public double Centre { get; }

    /// <summary>Volts; the farther end of the window.</summary>
    public double Scale { get; }

    /// <summary>Sum over the window, in the square of the unit of y.</summary>
    public double ResidualSquares { get; }

    /// <summary>Readings beyond those that the polynomial takes up.</summary>
    public int FreeReadings { get; }

    /// <summary>Derivative of an order (0 is the value) at a place, and its variance for readings of unit variance (GUM 5.2.2).</summary>
    public (double Value, double Variance) Derivative(int order, double x)
    {
        var terms = _coefficients.Length;
        Span<double> by = stackalloc double[MostTerms];
        by = by[..terms];
        var z = (x - Centre) / Scale;
        var power = Math.Pow(Scale, -order);
        for (var k = 0; k < terms; k++)
        {
            if (k < order)
            {
                by[k] = 0;
                continue;
            }
            var factor = power;
            for (var f = k; f > k - order; f--) factor *= f;
            by[k] = factor;
            power *= z;
        }
        double value = 0, variance = 0;
        for (var i = order; i < terms; i++)
        {
            value += by[i] * _coefficients[i];
            for (var j = order; j < terms; j++) variance += by[i] * _covariance[i * terms + j] * by[j];
        }
        return (value, variance);
    }

    public int Degree => _coefficients.Length - 1;

    /// <summary>Derivative of an order (0 is the value) at a place.</summary>
    public double At(int order, double x)
    {
        var z = (x - Centre) / Scale;
        var sum = 0.0;
        for (var k = _coefficients.Length - 1; k >= order; k--)
        {
            var factor = _coefficients[k];
            for (var f = k; f > k - order; f--) factor *= f;
            sum = sum * z + factor;
        }
        return sum * Math.Pow(Scale, -order);
    }

    /// <summary>Place nearest to a start where the derivative of an order has a value, by Newton's steps; null when the window does not hold one.</summary>
    /// <param name="order">Of the derivative.</param>
    /// <param name="target">Value wanted.</param>
    /// <param name="start">In the window.</param>
    public double? Where(int order, double target, double start)
    {
        var x = start;
        for (var step = 0; step < 30; step++)
        {
            var move = (At(order, x) - target) / At(order + 1, x);
            // A step never leaves the window at once: near a flat place it would land anywhere.
            x -= Math.Clamp(move, -Scale / 2, Scale / 2);
            if (!(Math.Abs(x - Centre) <= 1.2 * Scale)) return null;
            if (Math.Abs(move) < 1e-11 * Scale) return x;
        }
        return null;
    }

    /// <summary>
    /// How far the two highest terms stand out of the noise: their squares over their variances, correlation heeded. Chi-square of two degrees of freedom where the terms are
    /// nothing but noise.
    /// </summary>
    /// <param name="variance">Of a reading.</param>
    public double HighestTerms(double variance)
    {
        var n = _coefficients.Length;
        double a = _covariance[(n - 2) * n + n - 2], b = _covariance[(n - 2) * n + n - 1], d = _covariance[(n - 1) * n + n - 1];
        double p = _coefficients[n - 2], q = _coefficients[n - 1];
        return (d * p * p - 2 * b * p * q + a * q * q) / ((a * d - b * b) * variance);
    }

    /// <summary>The polynomial with its coefficients moved along one of as many independent directions, by so many standard deviations (a column of the Cholesky factor of the covariance).</summary>
    /// <param name="direction">0 to <see cref="Degree"/>.</param>
    /// <param name="by">Standard deviation of a reading, with sign.</param>
    public LocalPolynomial Moved(int direction, double by)
    {
        var n = _coefficients.Length;
        _factor ??= Factor(_covariance, n);
        var moved = (double[])_coefficients.Clone();
        for (var i = direction; i < n; i++) moved[i] += by * _factor[i * n + direction];
        return new(Centre, Scale, moved, _covariance, ResidualSquares, FreeReadings);
    }

    private static double[] Factor(double[] covariance, int n)
    {
        var lower = new double[n * n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var sum = covariance[i * n + j];
                for (var k = 0; k < j; k++) sum -= lower[i * n + k] * lower[j * n + k];
                lower[i * n + j] = i == j ? Math.Sqrt(Math.Max(0, sum)) : lower[j * n + j] > 0 ? sum / lower[j * n + j] : 0;
            }
        }
        return lower;
    }

    /// <returns>The fit; null when the window does not determine it.</returns>
    public static LocalPolynomial? Fit(Trace trace, int first, int last, double centre, int degree)
    {
        var x = trace.X.AsSpan(first..(last + 1));
        var y = trace.Y.AsSpan(first..(last + 1));
        var distinct = 1;
        for (var i = 1; i < x.Length; i++) distinct += x[i] > x[i - 1] ? 1 : 0;
        if (distinct <= degree) return null;

        var scale = Math.Max(x[^1] - centre, centre - x[0]);
        var terms = degree + 1;
        Span<double> moments = stackalloc double[2 * MostTerms - 1];
        moments = moments[..(2 * terms - 1)];
        Span<double> products = stackalloc double[MostTerms];
        moments.Clear();
        products.Clear();
        // Readings are taken relative to the middle one: sums of squares of volts would drown a millivolt's residual.
        var reference = y[y.Length / 2];
        for (var i = 0; i < x.Length; i++)
        {
            var z = (x[i] - centre) / scale;
            var height = y[i] - reference;
            var power = 1.0;
            for (var k = 0; k < moments.Length; k++)
            {
                moments[k] += power;
                if (k < terms) products[k] += power * height;
                power *= z;
            }
        }

        var covariance = new double[terms * terms];
        for (var r = 0; r < terms; r++)
        {
            for (var c = 0; c < terms; c++) covariance[r * terms + c] = moments[r + c];
        }
        if (!SmallMatrix.TryInvert(covariance, terms)) return null;
        var coefficients = new double[terms];
        for (var r = 0; r < terms; r++)
        {
            for (var c = 0; c < terms; c++) coefficients[r] += covariance[r * terms + c] * products[c];
        }

        var squares = 0.0;
        for (var i = 0; i < x.Length; i++)
        {
            var z = (x[i] - centre) / scale;
            var sum = 0.0;
            for (var k = degree; k >= 0; k--) sum = sum * z + coefficients[k];
            var residual = y[i] - reference - sum;
            squares += residual * residual;
        }
        coefficients[0] += reference;
        return new(centre, scale, coefficients, covariance, squares, x.Length - terms);
    }
}
