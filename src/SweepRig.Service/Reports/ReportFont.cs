using SkiaSharp;

namespace SweepRig.Service.Reports;

/// <summary>The typeface of reports: the first of some common sans-serif families that this machine has, else any that can write what a report needs.</summary>
internal static class ReportFont
{
    private const string Needed = "Aa09±µΩ·";

    private static readonly string[] Preferred = ["DejaVu Sans", "Liberation Sans", "Noto Sans", "Arial", "Helvetica"];

    private static readonly Lazy<string?> Found = new(() =>
    {
        var families = SKFontManager.Default.FontFamilies;
        return Preferred.Where(f => families.Contains(f, StringComparer.OrdinalIgnoreCase)).Concat(families).FirstOrDefault(Writes);
    });

    /// <exception cref="IOException">No usable typeface is installed.</exception>
    public static string Family => Found.Value
        ?? throw new IOException("No typeface is installed on this machine that can write a report. Install one, for example Debian's fonts-dejavu-core.");

    public static SKTypeface Typeface(bool bold) => SKTypeface.FromFamilyName(Family, bold ? SKFontStyle.Bold : SKFontStyle.Normal);

    private static bool Writes(string family)
    {
        using var face = SKTypeface.FromFamilyName(family);
        return face is not null && face.ContainsGlyphs(Needed);
    }
}
