using SweepRig.Domain.Quantities;

namespace SweepRig.Sweeps.Planning;

/// <summary>Resistors that a drawer has: the E12 series (IEC 60063).</summary>
internal static class PreferredValues
{
    private static readonly double[] Decade = [10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82];

    /// <summary>Those from a value on, over two decades, rising.</summary>
    public static IEnumerable<Ohms> From(Ohms least)
    {
        var exponent = Math.Floor(Math.Log10(Math.Max(least.Value, 1))) - 1;
        return Enumerable.Range(0, 3).SelectMany(d => Decade.Select(v => new Ohms(v * Math.Pow(10, exponent + d)))).Where(r => r.Value >= least.Value);
    }
}
