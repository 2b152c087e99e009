using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Studies;

/// <summary>What is compared of a reference sweep: the drop over the plate resistor, which a rail that moves leaves nearly as it is.</summary>
internal static class ReferenceColumns
{
    /// <summary>Supply less plate at each point, V; NaN where a reading is missing or at the end of its converter's range.</summary>
    public static double[] Drops(Curve curve)
    {
        var drops = new double[curve.Count];
        for (var i = 0; i < drops.Length; i++) drops[i] = curve.Flags[i].HasFlag(SampleFlags.Clipped) ? double.NaN : curve.Supply[i] - curve.Plate[i];
        return drops;
    }

    /// <summary>
    /// Slope of a column against evenly spaced drives, dimensionless, by differences over four steps, which are exact for polynomials of the fourth degree (Abramowitz and Stegun 1964,
    /// 25.3.6); over two or one at the ends. NaN where a point that it needs is.
    /// </summary>
    public static double[] Slopes(double[] drive, double[] column)
    {
        var (n, slopes) = (column.Length, new double[column.Length]);
        if (n < 2) return slopes;
        var step = (drive[n - 1] - drive[0]) / (n - 1);
        for (var i = 0; i < n; i++)
        {
            slopes[i] = i >= 2 && i < n - 2
                ? (column[i - 2] - 8 * column[i - 1] + 8 * column[i + 1] - column[i + 2]) / (12 * step)
                : (column[Math.Min(n - 1, i + 1)] - column[Math.Max(0, i - 1)]) / (step * (Math.Min(n - 1, i + 1) - Math.Max(0, i - 1)));
        }
        return slopes;
    }

    /// <summary>A column and its slopes as they would be with the drives moved by so much: cubic between points by their values and slopes; NaN beyond the ends.</summary>
    public static (double[] Values, double[] Slopes) Moved(double[] drive, double[] column, double[] slopes, double volts)
    {
        var n = column.Length;
        var (values, steep) = (new double[n], new double[n]);
        var step = (drive[n - 1] - drive[0]) / (n - 1);
        for (var i = 0; i < n; i++)
        {
            var at = i + volts / step;
            var left = (int)Math.Floor(at);
            if (left < 0 || left + 1 >= n)
            {
                (values[i], steep[i]) = (double.NaN, double.NaN);
                continue;
            }
            var (t, a, b, p, q) = (at - left, column[left], column[left + 1], step * slopes[left], step * slopes[left + 1]);
            values[i] = (2 * t * t * t - 3 * t * t + 1) * a + (t * t * t - 2 * t * t + t) * p + (3 * t * t - 2 * t * t * t) * b + (t * t * t - t * t) * q;
            steep[i] = ((6 * t * t - 6 * t) * (a - b) + (3 * t * t - 4 * t + 1) * p + (3 * t * t - 2 * t) * q) / step;
        }
        return (values, steep);
    }
}
