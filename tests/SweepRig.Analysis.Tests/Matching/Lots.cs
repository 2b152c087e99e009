using SweepRig.Analysis.Matching;
using SweepRig.Analysis.Uncertainty;

namespace SweepRig.Analysis.Tests.Matching;

/// <summary>Lots to be matched.</summary>
internal static class Lots
{
    /// <summary>Tubes that differ in two quantities.</summary>
    public static Func<int, int, double> Plane(int count, ulong seed)
    {
        var random = new RandomStream(seed);
        var at = Enumerable.Range(0, count).Select(_ => (X: random.Normal(), Y: random.Normal())).ToArray();
        return (i, j) => Math.Sqrt((at[i].X - at[j].X) * (at[i].X - at[j].X) + (at[i].Y - at[j].Y) * (at[i].Y - at[j].Y));
    }

    /// <summary>Every tube is in one pair, or is the one left over.</summary>
    public static void IsWhole(Pairing pairing, int count)
    {
        var places = pairing.Pairs.SelectMany(p => new[] { p.First, p.Second }).ToList();
        if (pairing.LeftOver is { } left) places.Add(left);
        Assert.Equal(Enumerable.Range(0, count), places.Order());
    }
}
