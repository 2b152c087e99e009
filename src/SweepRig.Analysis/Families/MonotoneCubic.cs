namespace SweepRig.Analysis.Families;

/// <summary>A curve through nodes that rises and falls only where they do (Fritsch and Carlson 1980, SIAM J. Numer. Anal. 17, 238; slopes by the weighted harmonic mean of Fritsch and Butland 1984, from memory).</summary>
public sealed class MonotoneCubic
{
    private readonly double[] _x, _y, _slope;

    /// <param name="x">At least 2, strictly ascending.</param>
    /// <param name="y">As many.</param>
    public MonotoneCubic(double[] x, double[] y)
    {
        ArgumentNullException.ThrowIfNull(x);
        ArgumentNullException.ThrowIfNull(y);
        (_x, _y) = (x, y);
        var n = x.Length;
        _slope = new double[n];
        if (n == 2)
        {
            _slope[0] = _slope[1] = Secant(0);
            return;
        }
        for (var i = 1; i < n - 1; i++)
        {
            double left = Secant(i - 1), right = Secant(i);
            if (left * right <= 0) continue;
            double a = 2 * (x[i + 1] - x[i]) + (x[i] - x[i - 1]), b = x[i + 1] - x[i] + 2 * (x[i] - x[i - 1]);
            _slope[i] = (a + b) / (a / left + b / right);
        }
        _slope[0] = End(Secant(0), Secant(1), x[1] - x[0], x[2] - x[1]);
        _slope[^1] = End(Secant(n - 2), Secant(n - 3), x[^1] - x[^2], x[^2] - x[^3]);
    }

    /// <summary>The first node.</summary>
    public double First => _x[0];

    /// <summary>The last node.</summary>
    public double Last => _x[^1];

    /// <summary>The curve at a place.</summary>
    /// <param name="x">From <see cref="First"/> to <see cref="Last"/>.</param>
    /// <param name="slope">Derivative there.</param>
    /// <param name="line">What the straight line between the neighbours gives.</param>
    public double At(double x, out double slope, out double line)
    {
        var i = Math.Clamp(Array.BinarySearch(_x, x) is var at && at >= 0 ? at : ~at - 1, 0, _x.Length - 2);
        double h = _x[i + 1] - _x[i], t = (x - _x[i]) / h, s = Secant(i);
        line = _y[i] + s * (x - _x[i]);
        double c = (3 * s - 2 * _slope[i] - _slope[i + 1]) / h, d = (_slope[i] + _slope[i + 1] - 2 * s) / (h * h);
        double u = t * h;
        slope = _slope[i] + u * (2 * c + 3 * d * u);
        return _y[i] + u * (_slope[i] + u * (c + d * u));
    }

    private double Secant(int i) => (_y[i + 1] - _y[i]) / (_x[i + 1] - _x[i]);

    private static double End(double near, double next, double h, double hNext)
    {
        var slope = ((2 * h + hNext) * near - h * next) / (h + hNext);
        if (slope * near <= 0) return 0;
        return near * next <= 0 && Math.Abs(slope) > 3 * Math.Abs(near) ? 3 * near : slope;
    }
}
