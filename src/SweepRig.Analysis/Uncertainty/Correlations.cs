namespace SweepRig.Analysis.Uncertainty;

/// <summary>Correlation coefficients of the inputs of a result, symmetric, 1 on the diagonal.</summary>
public sealed class Correlations
{
    private readonly double[,] _coefficients;

    private Correlations(double[,] coefficients) => _coefficients = coefficients;

    public int Count => _coefficients.GetLength(0);

    public double this[int i, int j] => _coefficients[i, j];

    public static Correlations None(int count)
    {
        var coefficients = new double[count, count];
        for (var i = 0; i < count; i++) coefficients[i, i] = 1;
        return new(coefficients);
    }

    /// <summary>The same with one pair correlated.</summary>
    /// <param name="coefficient">-1 to 1.</param>
    public Correlations With(int i, int j, double coefficient)
    {
        if (i == j || !(Math.Abs(coefficient) <= 1))
            throw new ArgumentException($"The correlation of inputs {i} and {j} is {coefficient}; give two inputs and a coefficient from -1 to 1.", nameof(coefficient));
        var copy = (double[,])_coefficients.Clone();
        copy[i, j] = copy[j, i] = coefficient;
        return new(copy);
    }

    /// <summary>Of the means of readings that were taken together, set by set (JCGM 100:2008, 5.2.3, equation (17)).</summary>
    /// <param name="readings">One list an input, of equal length.</param>
    public static Correlations OfReadings(params IReadOnlyList<double>[] readings)
    {
        ArgumentNullException.ThrowIfNull(readings);
        var sets = readings.Length == 0 ? 0 : readings[0].Count;
        if (sets < 2 || readings.Any(r => r.Count != sets))
            throw new ArgumentException($"Readings taken together come in at least 2 sets, as many of each input; given were {string.Join(", ", readings.Select(r => r.Count))}.", nameof(readings));
        var coefficients = new double[readings.Length, readings.Length];
        var apart = readings.Select(r => r.Select(v => v - r.Average()).ToArray()).ToArray();
        for (var i = 0; i < readings.Length; i++)
        {
            for (var j = 0; j < readings.Length; j++)
            {
                var scale = Math.Sqrt(Product(apart[i], apart[i]) * Product(apart[j], apart[j]));
                coefficients[i, j] = i == j ? 1 : scale > 0 ? Product(apart[i], apart[j]) / scale : 0;
            }
        }
        return new(coefficients);
    }

    /// <summary>Lower triangle L with L·Lᵀ equal to the matrix, for drawing normal inputs that belong together (JCGM 101:2008, 6.4.8.2).</summary>
    /// <exception cref="ArgumentException">No set of quantities can be correlated so.</exception>
    public double[,] Factor()
    {
        var n = Count;
        var lower = new double[n, n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var sum = _coefficients[i, j];
                for (var k = 0; k < j; k++) sum -= lower[i, k] * lower[j, k];
                if (i == j && sum < -1e-12)
                    throw new ArgumentException($"No quantities can be correlated so: the coefficients up to input {i} contradict each other. Check their signs.");
                // A pivot of rounding is an input that the ones before it determine.
                lower[i, j] = i == j ? Math.Sqrt(Math.Max(0, sum)) : lower[j, j] > 1e-7 ? sum / lower[j, j] : 0;
            }
        }
        return lower;
    }

    private static double Product(double[] a, double[] b) => a.Zip(b, static (x, y) => x * y).Sum();
}
