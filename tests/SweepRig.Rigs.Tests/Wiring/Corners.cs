namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>The extremes of a figure over every combination of parts at the ends of their tolerances.</summary>
internal static class Corners
{
    /// <param name="figure">The figure, given each part's value in the order of <paramref name="parts"/>.</param>
    /// <returns>Nominal value, least and most over the 2^n corners.</returns>
    public static (double Nominal, double Least, double Most) Of(Func<double[], double> figure, params Part[] parts)
    {
        var (least, most) = (double.PositiveInfinity, double.NegativeInfinity);
        for (var corner = 0; corner < 1 << parts.Length; corner++)
        {
            var value = figure([.. parts.Select((p, i) => (corner >> i & 1) == 0 ? p.Least : p.Most)]);
            (least, most) = (Math.Min(least, value), Math.Max(most, value));
        }
        return (figure([.. parts.Select(p => p.Si)]), least, most);
    }
}
