using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A histogram as bars of eighths of a character (Unicode block Block Elements, U+2588 to U+258F).</summary>
public static class HistogramText
{
    private const string Eighths = "▏▎▍▌▋▊▉";
    private const int LongestBar = 50;

    /// <param name="histogram">At least one bin.</param>
    /// <param name="unit">Of the values.</param>
    /// <param name="width">Columns in all.</param>
    /// <returns>A line a bin: its edges, a bar, its count.</returns>
    public static IEnumerable<string> Lines(HistogramView histogram, string unit, int width)
    {
        var (factor, prefix) = unit is "1" or "%" ? (1, "") : Engineering.PrefixFor(Math.Max(Math.Abs(histogram.Start), Math.Abs(histogram.Start + histogram.Width * histogram.Counts.Length)));
        var decimals = Math.Clamp(-(int)Math.Floor(Math.Log10(histogram.Width / factor) + 1e-9), 0, 9);
        string Edge(int bin) => ((histogram.Start + bin * histogram.Width) / factor).ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        var edges = Enumerable.Range(0, histogram.Counts.Length + 1).Select(Edge).ToArray();
        var widest = edges.Max(e => e.Length);
        var (most, digits) = (histogram.Counts.Max(), histogram.Counts.Max().ToString(CultureInfo.InvariantCulture).Length);
        var room = Math.Clamp(width - 2 * widest - digits - prefix.Length - unit.Length - 10, 10, LongestBar);
        for (var bin = 0; bin < histogram.Counts.Length; bin++)
        {
            var count = histogram.Counts[bin];
            var range = $"{edges[bin].PadLeft(widest)} to {edges[bin + 1].PadLeft(widest)}{(unit == "1" ? "" : $" {prefix}{unit}")}";
            yield return $"{range} {count.ToString(CultureInfo.InvariantCulture).PadLeft(digits)} {Bar((double)count / most * room)}".TrimEnd();
        }
    }

    private static string Bar(double length)
    {
        var whole = (int)length;
        var part = (int)Math.Round((length - whole) * 8);
        if (part == 8) (whole, part) = (whole + 1, 0);
        return new string('█', whole) + (part > 0 ? Eighths[part - 1] : "");
    }
}
