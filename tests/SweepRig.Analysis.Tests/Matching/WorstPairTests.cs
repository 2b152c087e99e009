using SweepRig.Analysis.Matching;

namespace SweepRig.Analysis.Tests.Matching;

public sealed class WorstPairTests
{
    [Theory]
    [InlineData(2, 1)]
    [InlineData(3, 2)]
    [InlineData(6, 3)]
    [InlineData(7, 4)]
    [InlineData(10, 5)]
    [InlineData(11, 6)]
    [InlineData(12, 7)]
    public void The_worst_pair_of_a_small_lot_is_as_trying_all_ways_finds_it(int count, ulong seed)
    {
        for (ulong n = 0; n < 20; n++)
        {
            var distance = Lots.Plane(count, 1000 * seed + n);
            var pairing = Pairing.BestWorst(count, distance);
            var (worst, sum) = ByTryingAll(count, distance);
            Assert.Equal(worst, pairing.Worst, 12);
            Assert.Equal(sum, pairing.Total, 9);
            Assert.True(pairing.IsProvenBest);
            Lots.IsWhole(pairing, count);
        }
    }

    [Fact]
    public void A_better_worst_pair_may_cost_a_larger_sum()
    {
        // Two close tubes between two far ones: the smallest sum pairs the close ones, the best worst pair does not.
        double[,] table = { { 0, 6, 6, 10 }, { 6, 0, 1, 6 }, { 6, 1, 0, 6 }, { 10, 6, 6, 0 } };
        Assert.Equal((11, 10), (Pairing.Best(4, (i, j) => table[i, j]).Total, Pairing.Best(4, (i, j) => table[i, j]).Worst));
        Assert.Equal((12, 6), (Pairing.BestWorst(4, (i, j) => table[i, j]).Total, Pairing.BestWorst(4, (i, j) => table[i, j]).Worst));
    }

    [Fact]
    public void Two_hundred_tubes_have_a_proven_worst_pair_that_is_no_worse_than_that_of_the_smallest_sum()
    {
        var distance = Lots.Plane(200, 42);
        var (sum, worst) = (Pairing.Best(200, distance), Pairing.BestWorst(200, distance));
        Lots.IsWhole(worst, 200);
        Assert.True(worst.Worst <= sum.Worst && worst.Total >= sum.Total - 1e-9);
        Assert.True(worst.IsProvenBest);
    }

    [Fact]
    public void Tubes_that_are_all_alike_have_a_worst_pair_of_0()
    {
        var pairing = Pairing.BestWorst(30, (_, _) => 0);
        Assert.Equal(0, pairing.Worst);
        Lots.IsWhole(pairing, 30);
    }

    // Least worst distance, and the least sum of those that have it, over all sets of places.
    private static (double Worst, double Sum) ByTryingAll(int count, Func<int, int, double> distance)
    {
        var best = new (double Worst, double Sum)[1 << count];
        Array.Fill(best, (double.PositiveInfinity, double.PositiveInfinity));
        best[0] = (0, 0);
        for (var set = 1; set < best.Length; set++) best[set] = (Worst(set), double.PositiveInfinity);
        var limit = best[^1].Worst;
        for (var set = 1; set < best.Length; set++)
        {
            var first = int.TrailingZeroCount(set);
            var rest = set & ~(1 << first);
            if (int.PopCount(set) % 2 == 1) best[set].Sum = best[rest].Sum;
            for (var j = first + 1; j < count; j++)
                if ((rest & (1 << j)) != 0 && distance(first, j) <= limit) best[set].Sum = Math.Min(best[set].Sum, best[rest & ~(1 << j)].Sum + distance(first, j));
        }
        return (limit, best[^1].Sum);

        double Worst(int set)
        {
            var first = int.TrailingZeroCount(set);
            var rest = set & ~(1 << first);
            var least = int.PopCount(set) % 2 == 1 ? best[rest].Worst : double.PositiveInfinity;
            for (var j = first + 1; j < count; j++)
                if ((rest & (1 << j)) != 0) least = Math.Min(least, Math.Max(best[rest & ~(1 << j)].Worst, distance(first, j)));
            return least;
        }
    }
}
