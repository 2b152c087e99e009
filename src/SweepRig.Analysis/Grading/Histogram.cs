namespace SweepRig.Analysis.Grading;

/// <summary>Counts of values in bins of one width, whose edges are whole multiples of it.</summary>
/// <param name="Start">Lower edge of the first bin.</param>
/// <param name="Width">Of each, above 0: 1, 2 or 5 times a power of ten.</param>
/// <param name="Counts">Values from the lower edge of a bin up to, and without, its upper one.</param>
public sealed record Histogram(double Start, double Width, IReadOnlyList<int> Counts)
{
    private const int MostBins = 40;

    private static readonly double[] Leads = [1, 2, 5, 10, 20];

    /// <summary>Bins as wide as the spread of the values asks for (Freedman and Diaconis 1981, Z. Wahrscheinlichkeitstheorie 57, 453), rounded to a width that is easily read.</summary>
    /// <param name="values">1 or more, finite.</param>
    public static Histogram Of(IReadOnlyList<double> values)
    {
        var spread = Spread.Of(values);
        var range = spread.Highest - spread.Lowest;
        var asked = 2 * (spread.UpperQuartile - spread.LowerQuartile) / Math.Cbrt(spread.Count);
        // Values that are all but alike: bins around them, of a width in which they are not yet rounding.
        var least = Math.Max(range / MostBins, 1e-9 * Math.Max(Math.Abs(spread.Median), 1e-9));
        var width = Round(asked > 0 ? asked : range / Math.Sqrt(spread.Count), least);
        var first = Math.Floor(spread.Lowest / width);
        var counts = new int[(int)(Math.Floor(spread.Highest / width) - first) + 1];
        foreach (var value in values) counts[Math.Clamp((int)(Math.Floor(value / width) - first), 0, counts.Length - 1)]++;
        return new(first * width, width, counts);
    }

    // The nearest by ratio that is not below the least.
    private static double Round(double width, double least)
    {
        var power = Math.Pow(10, Math.Floor(Math.Log10(Math.Max(width, least))));
        return Leads.Select(lead => lead * power).Where(w => w >= least).MinBy(w => Math.Abs(Math.Log(w / Math.Max(width, least))));
    }
}
