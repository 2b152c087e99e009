namespace SweepRig.Analysis.Fitting;

/// <summary>
/// Shortest-residual step of a linear model within a radius: z = -V diag(s/(s^2 + lambda)) U^T q with lambda of 0 or such that |z| is the radius,
/// from R D^-1 = U S V^T in scaled variables z = D p.
/// </summary>
internal sealed class SecularStep(int n)
{
    // Directions weaker than this part of the strongest are rounding alone and are not followed.
    private const double Nothing = 1e-15;

    private readonly double[] _left = new double[n * n], _right = new double[n * n], _singular = new double[n], _along = new double[n];

    public void Prepare(ReadOnlySpan<double> triangle, ReadOnlySpan<double> turned, ReadOnlySpan<double> scale, ReadOnlySpan<bool> free)
    {
        for (var j = 0; j < n; j++)
            for (var i = 0; i < n; i++) _left[j * n + i] = free[j] && scale[j] > 0 ? triangle[j * n + i] / scale[j] : 0;
        JacobiSvd.Decompose(_left, n, _singular, _right);
        for (var k = 0; k < n; k++) _along[k] = _singular[k] > Nothing * _singular[0] ? Vectors.Dot(_left.AsSpan(k * n, n), turned[..n]) : 0;
    }

    /// <summary>Fills the step in scaled variables.</summary>
    /// <returns>Lambda; above 0 when the radius shortened the step.</returns>
    public double Find(double radius, Span<double> step)
    {
        double lambda = 0;
        var length = Length(0, out _);
        if (length > 1.1 * radius) lambda = Solve(radius);
        step.Clear();
        for (var k = 0; k < n; k++)
            if (_along[k] != 0) Vectors.Add(-_singular[k] / (_singular[k] * _singular[k] + lambda) * _along[k], _right.AsSpan(k * n, n), step);
        return lambda;
    }

    // Newton on 1/radius - 1/|z|, which is nearly straight (Reinsch 1971, More 1978), kept inside a bracket.
    private double Solve(double radius)
    {
        double low = 0, high = 0;
        for (var k = 0; k < n; k++) high += _singular[k] * _along[k] * (_singular[k] * _along[k]);
        high = Math.Sqrt(high) / radius;
        double lambda = 0;
        for (var step = 0; step < 40; step++)
        {
            var length = Length(lambda, out var slope);
            if (Math.Abs(length - radius) <= 0.01 * radius) break;
            if (length > radius) low = lambda;
            else high = lambda;
            lambda += (radius - length) / slope * (length / radius);
            if (!(lambda > low && lambda < high)) lambda = Math.Max(1e-3 * high, Math.Sqrt(low * high));
        }
        return lambda;
    }

    private double Length(double lambda, out double slope)
    {
        double square = 0, derivative = 0;
        for (var k = 0; k < n; k++)
        {
            if (_along[k] == 0) continue;
            var weight = _singular[k] * _singular[k] + lambda;
            var part = _singular[k] * _along[k] / weight;
            square += part * part;
            derivative -= part * part / weight;
        }
        var length = Math.Sqrt(square);
        slope = derivative / length;
        return length;
    }
}
