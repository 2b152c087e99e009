using System.Globalization;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A scale with round ticks.</summary>
/// <param name="From">Value at one end.</param>
/// <param name="To">Value at the other, above <paramref name="From"/>.</param>
/// <param name="Ticks">Round values from one end to the other.</param>
/// <param name="Decimals">That a tick needs.</param>
public sealed record Axis(double From, double To, IReadOnlyList<double> Ticks, int Decimals)
{
    /// <summary>An axis over all values, its ticks a power of ten times 1, 2 or 5 apart.</summary>
    /// <param name="values">Those that are not numbers are left out.</param>
    /// <param name="intervals">Intervals wanted, about.</param>
    /// <param name="roundEnds">True: the ends are ticks. False: the ends are the outermost values.</param>
    public static Axis Over(IEnumerable<double?> values, int intervals, bool roundEnds)
    {
        var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (var value in values)
        {
            if (value is not { } v || !double.IsFinite(v)) continue;
            low = Math.Min(low, v);
            high = Math.Max(high, v);
        }
        if (!(high > low)) (low, high) = double.IsFinite(low) ? (low - 0.5, low + 0.5) : (0, 1);
        var step = RoundStep((high - low) / intervals);
        var decimals = Math.Max(0, -(int)Math.Floor(Math.Log10(step) + 1e-9));
        // A hair of slack keeps a value that is a tick but for rounding from costing another interval.
        var first = (long)(roundEnds ? Math.Floor(low / step + 1e-6) : Math.Ceiling(low / step - 1e-6));
        var last = (long)(roundEnds ? Math.Ceiling(high / step - 1e-6) : Math.Floor(high / step + 1e-6));
        var ticks = Enumerable.Range(0, (int)(last - first) + 1).Select(i => Math.Round((first + i) * step, decimals)).ToArray();
        return roundEnds ? new(ticks[0], ticks[^1], ticks, decimals) : new(low, high, ticks, decimals);
    }

    /// <returns>Place from 0 to <paramref name="last"/>.</returns>
    public int Place(double value, int last) => (int)Math.Round((value - From) / (To - From) * last);

    public string Text(double tick) => tick.ToString("F" + Decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static double RoundStep(double wanted)
    {
        var power = Math.Pow(10, Math.Floor(Math.Log10(wanted)));
        return (wanted / power) switch { < 1.5 => 1, < 3.5 => 2, < 7.5 => 5, _ => 10 } * power;
    }
}
