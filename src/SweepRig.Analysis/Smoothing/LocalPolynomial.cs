namespace SweepRig.Analysis.Smoothing;

/// <summary>
/// Least-squares polynomial through a window of a trace: y = c0 + c1 z + c2 z^2 ..., z = (x - centre)/scale. On an even grid its value and
/// derivatives are those of Savitzky and Golay, Anal. Chem. 36 (1964) 1627; least squares itself needs no even grid.
/// </summary>
internal sealed class LocalPolynomial
{
    public const int MostTerms = 6;

    private readonly double[] _coefficients, _covariance;

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

    /// <summary>Place in the window where the derivative of an order has a value, with its variance for unit noise by the implicit function.</summary>
    /// <param name="order">Of the derivative.</param>
    /// <param name="target">Value wanted.</param>
    /// <param name="sign">Sign that the next derivative must have there.</param>
    /// <param name="noise">Standard deviation of a reading: the next derivative must stand out of it.</param>
    /// <param name="least">Magnitude that the next derivative must exceed; below it is rounding.</param>
    /// <returns>The place; null when the window does not hold one.</returns>
    public (double Value, double Variance)? Where(int order, double target, int sign, double noise, double least)
    {
        var x = Centre;
        for (var step = 0; step < 20; step++)
        {
            var move = (Derivative(order, x).Value - target) / Derivative(order + 1, x).Value;
            x -= move;
            if (!(Math.Abs(x - Centre) <= Scale)) return null;
            if (Math.Abs(move) < 1e-12 * Scale) break;
        }
        var (bend, bendVariance) = Derivative(order + 1, x);
        if (sign * bend <= Math.Max(2 * noise * Math.Sqrt(bendVariance), least)) return null;
        return (x, Derivative(order, x).Variance / (bend * bend));
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
