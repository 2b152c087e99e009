using ScottPlot;
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

    private static readonly Lazy<bool> ThinnedIsUsable = new(() =>
    {
        if (Thinned.Plain.Value is null || Thinned.Bold.Value is null) return false;
        // Drawn by name in figures.
        Fonts.FontResolvers.Insert(0, new Thinned());
        return true;
    });

    /// <exception cref="IOException">No usable typeface is installed.</exception>
    public static string Family => Found.Value
        ?? throw new IOException("No typeface is installed on this machine that can write a report. Install one, for example Debian's fonts-dejavu-core.");

    /// <summary>Family to write some text with in a file that takes its fonts with it: the few glyphs of <see cref="Family"/> that a report uses, where they are enough.</summary>
    public static string FamilyFor(IEnumerable<string> text) => ThinnedIsUsable.Value && text.All(t => t.All(Thinned.Has)) ? Thinned.Name : Family;

    private static readonly Lazy<SKTypeface> WholePlain = new(() => SKTypeface.FromFamilyName(Family, SKFontStyle.Normal)), WholeBold = new(() => SKTypeface.FromFamilyName(Family, SKFontStyle.Bold));

    /// <summary>Shared by all reports; not to be disposed.</summary>
    /// <param name="family">One of the above.</param>
    public static SKTypeface Typeface(string family, bool bold) =>
        family == Thinned.Name ? (bold ? Thinned.Bold : Thinned.Plain).Value! : (bold ? WholeBold : WholePlain).Value;

    private static bool Writes(string family)
    {
        using var face = SKTypeface.FromFamilyName(family);
        return face is not null && face.ContainsGlyphs(Needed);
    }

    private sealed class Thinned : IFontResolver
    {
        public const string Name = "SweepRig report";

        private static readonly (char From, char To)[] Ranges = [(' ', '~'), ('\u00A0', '\u00FF'), ('\u2010', '\u2026'), ('\u2212', '\u2212')];
        private const string Greek = "ΔΩαβγδεμρστφω";

        public static Lazy<SKTypeface?> Plain { get; } = new(() => Load(bold: false));

        public static Lazy<SKTypeface?> Bold { get; } = new(() => Load(bold: true));

        public static bool Has(char c) => Ranges.Any(r => c >= r.From && c <= r.To) || Greek.Contains(c, StringComparison.Ordinal);

        public SKTypeface? CreateTypeface(string fontName, FontWeight weight, FontSlant slant, FontSpacing spacing) =>
            CreateTypeface(fontName, weight >= FontWeight.SemiBold, slant != FontSlant.Upright);

        public SKTypeface? CreateTypeface(string fontName, bool bold, bool italic) => fontName == Name ? (bold ? Bold : Plain).Value : null;

        private static SKTypeface? Load(bool bold)
        {
            var whole = Typeface(Family, bold);
            using var stream = whole.OpenStream();
            if (stream is null) return null;
            var file = new byte[stream.Length];
            if (stream.Read(file, file.Length) != file.Length) return null;
            var characters = Enumerable.Range(0, char.MaxValue).Select(c => (char)c).Where(Has);
            return ThinnedFont.Of(file, characters.Select(c => whole.GetGlyph(c))) is { } thin ? SKTypeface.FromStream(new MemoryStream(thin)) : null;
        }
    }
}
