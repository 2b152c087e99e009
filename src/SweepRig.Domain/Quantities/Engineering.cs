using System.Globalization;

namespace SweepRig.Domain.Quantities;

/// <summary>Writes a value with an SI prefix in steps of a thousand, in the invariant culture.</summary>
public static class Engineering
{
    private static readonly (double Factor, string Prefix)[] Prefixes =
    [
        (1e6, "M"), (1e3, "k"), (1, ""), (1e-3, "m"), (1e-6, "µ"), (1e-9, "n"), (1e-12, "p"),
    ];

    /// <summary>The factor and its prefix that bring a value to 1 or more and below 1000, for numbers that share a unit; outside the prefixes the nearest.</summary>
    public static (double Factor, string Prefix) PrefixFor(double value)
    {
        if (!double.IsFinite(value) || value == 0) return (1, "");
        // Rounded as an uncertainty is: 996 nA is 1.0 µA.
        var found = Prefixes.FirstOrDefault(p => Math.Abs(RoundTo(value / p.Factor, 2)) >= 1);
        return found.Prefix is null ? Prefixes[^1] : found;
    }

    /// <summary>As <see cref="Format"/>, for any unit of a figure: a ratio (<c>1</c>) gets neither unit nor prefix, a percentage no prefix.</summary>
    public static string Figure(double value, string unit, int digits = 4) => unit is "1" or "%" or ""
        ? $"{(value == 0 ? 0 : RoundTo(value, digits)).ToString("0.############", CultureInfo.InvariantCulture)}{(unit == "%" ? " %" : "")}"
        : Format(value, unit, digits);

    /// <param name="value">Value in the base unit; NaN is written as a dash.</param>
    /// <param name="unit">Symbol of the base unit.</param>
    /// <param name="digits">Significant digits, 1 to 15.</param>
    public static string Format(double value, string unit, int digits = 4)
    {
        if (double.IsNaN(value)) return "–";
        if (value == 0) return $"0 {unit}";
        foreach (var (factor, prefix) in Prefixes)
        {
            // Rounding first: 999.99 mV at four digits is 1 V, not 1000 mV.
            var scaled = RoundTo(value / factor, digits);
            if (Math.Abs(scaled) >= 1) return $"{scaled.ToString("0.############", CultureInfo.InvariantCulture)} {prefix}{unit}";
        }
        return $"{value.ToString("0.###e0", CultureInfo.InvariantCulture)} {unit}";
    }

    private static double RoundTo(double value, int digits)
    {
        if (value == 0) return 0;
        var decimals = digits - 1 - (int)Math.Floor(Math.Log10(Math.Abs(value)));
        return decimals >= 0 ? Math.Round(value, Math.Min(decimals, 15)) : Math.Round(value);
    }
}
