using SweepRig.Analysis.Matching;

namespace SweepRig.Analysis.Tests.Matching;

public sealed class PairingTests
{
    [Theory]
    [InlineData(2, 1)]
    [InlineData(3, 2)]
    [InlineData(6, 3)]
    [InlineData(7, 4)]
    [InlineData(10, 5)]
    [InlineData(11, 6)]
    [InlineData(14, 7)]
    public void A_small_lot_is_paired_as_trying_all_ways_does(int count, ulong seed)
    {
        for (ulong n = 0; n < 20; n++)
        {
            var distance = Lots.Plane(count, 1000 * seed + n);
            var pairing = Pairing.Best(count, distance);
            Assert.True(pairing.IsProvenBest);
            Assert.Equal(ByTryingAll(count, distance), pairing.Total, 9);
            Lots.IsWhole(pairing, count);
        }
    }

    // Two far clusters of three: without the odd sets the linear program takes halves of each triangle.
    [Fact]
    public void Two_odd_clusters_are_joined_where_they_are_nearest()
    {
        double[] at = [0, 1, 1.5, 100, 101, 102.5];
        var pairing = Pairing.Best(6, (i, j) => Math.Abs(at[i] - at[j]));
        Assert.True(pairing.IsProvenBest);
        Assert.Equal(1 + 98.5 + 1.5, pairing.Total, 9);
    }

    [Fact]
    public void Two_hundred_tubes_are_paired_with_proof_and_better_than_by_hand()
    {
        var distance = Lots.Plane(200, 42);
        var pairing = Pairing.Best(200, distance);
        Assert.True(pairing.IsProvenBest, $"{pairing.Total} over a bound of {pairing.Bound}");
        Lots.IsWhole(pairing, 200);
        Assert.True(pairing.Total < 0.95 * Pairing.Greedy(200, distance).Total);
    }

    [Fact]
    public void Tubes_that_are_all_alike_are_paired_too()
    {
        var pairing = Pairing.Best(30, (_, _) => 0);
        Assert.True(pairing.IsProvenBest);
        Lots.IsWhole(pairing, 30);
    }

    [Theory]
    [InlineData(1, 0)]
    [InlineData(0, 0)]
    [InlineData(4, -1)]
    [InlineData(4, double.NaN)]
    [InlineData(4, double.PositiveInfinity)]
    public void What_cannot_be_paired_is_refused(int count, double distance) => Assert.Throws<ArgumentException>(() => Pairing.Best(count, (_, _) => distance));

    // Least sum over all sets of places, the lowest place always paired or left over first.
    private static double ByTryingAll(int count, Func<int, int, double> distance)
    {
        var least = new double[1 << count];
        Array.Fill(least, double.PositiveInfinity);
        least[0] = 0;
        for (var set = 1; set < least.Length; set++)
        {
            var first = int.TrailingZeroCount(set);
            var rest = set & ~(1 << first);
            if (int.PopCount(set) % 2 == 1) least[set] = least[rest];
            for (var j = first + 1; j < count; j++)
                if ((rest & (1 << j)) != 0) least[set] = Math.Min(least[set], least[rest & ~(1 << j)] + distance(first, j));
        }
        return least[^1];
    }
}
