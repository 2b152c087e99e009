using System.Globalization;

namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>A row of <c>firmware-notes/wiring/parts.csv</c>: the one place where a value of the wiring is written.</summary>
/// <param name="Value">As a builder writes it: number and an SI prefix.</param>
/// <param name="TolerancePercent">NaN where the row gives none.</param>
/// <param name="Series">Series of IEC 60063 that the value is taken from, or empty.</param>
internal sealed record Part(string Ref, string Name, string Value, string Unit, double TolerancePercent, string Series, string Rating, string Why)
{
    private const string Prefixes = "pnum kMG";

    /// <summary>The value in the unit without prefix.</summary>
    public double Si
    {
        get
        {
            var at = Prefixes.IndexOf(Value[^1], StringComparison.Ordinal);
            return at < 0 ? Number(Value) : Number(Value[..^1]) * Math.Pow(1000, at - 4);
        }
    }

    public double Least => Si * (1 - TolerancePercent / 100);

    public double Most => Si * (1 + TolerancePercent / 100);

    /// <summary>Value with unit, for a drawing or a table.</summary>
    public string Label => Unit switch
    {
        "ohm" => Si switch
        {
            >= 1e6 => Text(Si / 1e6) + " megohm",
            >= 1e3 => Text(Si / 1e3) + " kilohm",
            _ => Text(Si) + " ohm",
        },
        "F" or "A" when char.IsLetter(Value[^1]) => $"{Value[..^1]} {Value[^1]}{Unit}",
        _ => $"{Value} {Unit}",
    };

    private static string Text(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);

    private static double Number(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);
}
