using System.Globalization;
using SweepRig.Analysis;

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
        if (figure.ExpandedUncertainty is not { } uncertainty || !(uncertainty > 0) || !double.IsFinite(uncertainty)) return Fixed(value, Decimals(value, PlainDigits));
        var decimals = Decimals(uncertainty, LeadingDigits(uncertainty) < 2.95 ? 2 : 1);
        return $"{Fixed(value, decimals)} ± {Fixed(uncertainty, decimals)}";
    }

    /// <summary>As <see cref="Of"/>, with the unit.</summary>
    public static string WithUnit(Figure figure) => figure.Value is null || figure.Unit == "1" ? Of(figure) : $"{Of(figure)} {figure.Unit}";

    private static double LeadingDigits(double value) => value / Math.Pow(10, Math.Floor(Math.Log10(value)));

    private static int Decimals(double value, int digits) =>
        value == 0 ? digits - 1 : Math.Clamp(digits - 1 - (int)Math.Floor(Math.Log10(Math.Abs(value))), 0, 9);

    private static string Fixed(double value, int decimals)
    {
        var text = value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        // -0.00 is written 0.00.
        return text.StartsWith('-') && text.All(c => c is '-' or '0' or '.') ? text[1..] : text;
    }
}
