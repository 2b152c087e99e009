using System.Globalization;
using SweepRig.Analysis;
using SweepRig.Domain.Quantities;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>
/// A figure with its expanded uncertainty (95 %), rounded as the uncertainty allows: to two of its digits where it begins with 1 or 2, else to one. The value gets as many
/// decimals (JCGM 100:2008, 7.2.6: one or two digits, and estimates rounded to agree).
/// </summary>
public static class FigureText
{
    public const string None = "none";

    /// <summary>Significant digits where no uncertainty was estimated.</summary>
    private const int PlainDigits = 4;

    /// <returns>For example <c>27.991 ± 0.009</c>, in the unit of the figure, which is not written.</returns>
    public static string Of(Figure figure)
    {
        if (figure.Value is not { } value) return None;
        if (figure.ExpandedUncertainty is not { } uncertainty || !(uncertainty > 0) || !double.IsFinite(uncertainty)) return Fixed(value, Math.Max(0, Decimals(value, PlainDigits)));
        var decimals = Decimals(uncertainty, LeadingDigits(uncertainty) < 2.95 ? 2 : 1);
        return $"{Fixed(value, decimals)} ± {Fixed(uncertainty, decimals)}";
    }

    /// <summary>As <see cref="Of"/>, with the unit.</summary>
    public static string WithUnit(Figure figure) => figure.Value is null || figure.Unit == "1" ? Of(figure) : $"{Of(figure)} {figure.Unit}";

    /// <summary>As <see cref="WithUnit"/>, with an SI prefix where the unit takes one: for amounts of any size.</summary>
    public static string Scaled(Figure figure)
    {
        if (figure.Value is not { } value || !TakesPrefix(figure.Unit)) return WithUnit(figure);
        var (factor, prefix) = Engineering.PrefixFor(Math.Max(Math.Abs(value), figure.ExpandedUncertainty ?? 0));
        return $"{Of(figure with { Value = value / factor, Uncertainty = figure.Uncertainty / factor })} {prefix}{figure.Unit}";
    }

    /// <summary>A value with an interval that need not lie evenly about it, all to two digits of its smaller part.</summary>
    /// <returns>Value and interval as text, and the unit with the prefix that both are counted in; empty for a ratio.</returns>
    public static (string Value, string Interval, string Unit) Interval(double value, double low, double high, string unit)
    {
        var (factor, prefix) = TakesPrefix(unit) ? Engineering.PrefixFor(value) : (1, "");
        var part = Math.Min(Math.Abs(value - low), Math.Abs(high - value)) / factor;
        var decimals = part > 0 && double.IsFinite(part) ? Decimals(part, 2) : Math.Max(0, Decimals(value / factor, PlainDigits));
        return (Fixed(value / factor, decimals), $"{Fixed(low / factor, decimals)} to {Fixed(high / factor, decimals)}", unit == "1" ? "" : prefix + unit);
    }

    private static bool TakesPrefix(string unit) => unit is not ("1" or "%" or "");

    private static double LeadingDigits(double value) => value / Math.Pow(10, Math.Floor(Math.Log10(value)));

    private static int Decimals(double value, int digits) =>
        value == 0 ? digits - 1 : Math.Clamp(digits - 1 - (int)Math.Floor(Math.Log10(Math.Abs(value))), -9, 9);

    private static string Fixed(double value, int decimals)
    {
        // Tens and hundreds are rounded too: 2310 and not 2313 for an uncertainty of 70.
        if (decimals < 0) (value, decimals) = (Math.Round(value / Math.Pow(10, -decimals)) * Math.Pow(10, -decimals), 0);
        var text = value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        // -0.00 is written 0.00.
        return text.StartsWith('-') && text.All(c => c is '-' or '0' or '.') ? text[1..] : text;
    }
}
