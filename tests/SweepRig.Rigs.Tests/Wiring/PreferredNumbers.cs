namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>
/// Preferred numbers for resistors and capacitors (IEC 60063:2015). E3 to E24 are listed, because they follow the rounded powers only nearly; E48 to
/// E192 are 10^(k/n) rounded to three digits, with the one exception that the standard makes, 9.20 in E192.
/// </summary>
internal static class PreferredNumbers
{
    private static readonly double[] E24 =
    [
        1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1,
    ];

    public static double[] Of(string series) => series switch
    {
        "E6" => [.. E24.Where((_, i) => i % 4 == 0)],
        "E12" => [.. E24.Where((_, i) => i % 2 == 0)],
        "E24" => E24,
        "E48" => Rounded(48),
        "E96" => Rounded(96),
        "E192" => [.. Rounded(192).Select(v => v == 9.19 ? 9.20 : v)],
        _ => throw new ArgumentException($"There is no series {series} in IEC 60063 that a part here is taken from."),
    };

    public static bool Holds(string series, double value)
    {
        var mantissa = value / Math.Pow(10, Math.Floor(Math.Log10(value) + 1e-9));
        return Of(series).Any(v => Math.Abs(v - mantissa) < 1e-9 * v);
    }

    private static double[] Rounded(int n) => [.. Enumerable.Range(0, n).Select(k => Math.Round(Math.Pow(10, (double)k / n), 2))];
}
