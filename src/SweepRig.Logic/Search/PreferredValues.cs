namespace SweepRig.Logic.Search;

/// <summary>Series of preferred values for resistors and capacitors (IEC 60063).</summary>
public enum PreferredSeries
{
    /// <summary>Twelve a decade, customary with 10 %.</summary>
    E12,

    /// <summary>Twenty-four a decade, customary with 5 %.</summary>
    E24,

    /// <summary>Ninety-six a decade, customary with 1 %.</summary>
    E96,
}

/// <summary>The values of each series.</summary>
public static class PreferredValues
{
    // Rounded by hand long ago: 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7 and 8.2 are not the powers of the 24th root of ten.
    private static readonly double[] Twelve = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];

    private static readonly double[] TwentyFour =
        [1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1];

    private static readonly double[] NinetySix = [.. Enumerable.Range(0, 96).Select(i => Math.Round(Math.Pow(10, i / 96.0), 2))];

    /// <summary>The decade from 1 to below 10.</summary>
    public static IReadOnlyList<double> Decade(PreferredSeries series) => series switch
    {
        PreferredSeries.E12 => Twelve,
        PreferredSeries.E24 => TwentyFour,
        _ => NinetySix,
    };

    /// <summary>Every value of a series from one value to another, both included.</summary>
    /// <exception cref="ArgumentException">The ends are not above 0 and rising.</exception>
    public static IReadOnlyList<double> Between(PreferredSeries series, double low, double high)
    {
        if (!(low > 0 && high >= low)) throw new ArgumentException($"The range is {low} to {high}; it must be above 0 and rise.", nameof(low));
        var values = new List<double>();
        for (var power = (int)Math.Floor(Math.Log10(low)) - 1; power <= Math.Log10(high) + 1; power++)
        {
            foreach (var value in Decade(series))
            {
                // In decimal, so that 4.7 times a thousand is 4700.
                var scaled = (double)((decimal)value * Power(power));
                if (scaled >= low * (1 - 1e-12) && scaled <= high * (1 + 1e-12)) values.Add(scaled);
            }
        }
        return values;
    }

    /// <summary>The value whose ratio to a wanted one is nearest to 1.</summary>
    public static double Nearest(PreferredSeries series, double wanted) => Between(series, wanted / 2, wanted * 2).MinBy(v => Math.Abs(Math.Log(v / wanted)));

    private static decimal Power(int power)
    {
        var value = 1m;
        for (var n = 0; n < Math.Abs(power); n++) value = power > 0 ? value * 10 : value / 10;
        return value;
    }
}
