using SweepRig.Analysis.Matching;

namespace SweepRig.Analysis.Tests.Matching;

public sealed class GroupingTests
{
    [Theory]
    [InlineData(3, 3, 1)]
    [InlineData(4, 3, 2)]
    [InlineData(9, 3, 3)]
    [InlineData(11, 3, 4)]
    [InlineData(12, 4, 5)]
    [InlineData(13, 4, 6)]
    [InlineData(12, 5, 7)]
    public void A_small_lot_is_grouped_as_trying_all_ways_does(int count, int size, ulong seed)
    {
        for (ulong n = 0; n < 8; n++)
        {
            var distance = Lots.Plane(count, 1000 * seed + n);
            var grouping = Grouping.Best(count, size, distance, mostSeconds: 600);
            Assert.True(grouping.IsProvenBest);
            Assert.Equal(ByTryingAll(count, size, distance), grouping.Total, 6);
            IsWhole(grouping, count, size, distance);
        }
    }

    // Thirty tubes have 4,060 possible groups of three, all of which are looked at.
    [Fact]
    public void Thirty_tubes_are_grouped_with_proof()
    {
        var distance = Lots.Plane(30, 42);
        var grouping = Grouping.Best(30, 3, distance, mostSeconds: 600);
        IsWhole(grouping, 30, 3, distance);
        Assert.True(grouping.IsProvenBest, $"{grouping.Total} over a bound of {grouping.Bound}");
    }

    // Without time for the integer program the exchanges stand, with the bound of the linear program.
    [Fact]
    public void Sixty_tubes_are_grouped_at_once_with_a_bound_that_is_near()
    {
        var distance = Lots.Plane(60, 42);
        var grouping = Grouping.Best(60, 3, distance, mostSeconds: 0);
        IsWhole(grouping, 60, 3, distance);
        Assert.InRange(grouping.Bound, 0.8 * grouping.Total, grouping.Total + 1e-9);
    }

    // More possible groups than can be looked at: the bound is that of the nearest neighbours, and the grouping says that it is not proven.
    [Fact]
    public void A_large_lot_is_grouped_with_a_bound_that_is_weaker()
    {
        var distance = Lots.Plane(300, 7);
        var grouping = Grouping.Best(300, 4, distance);
        IsWhole(grouping, 300, 4, distance);
        Assert.False(grouping.IsProvenBest);
        Assert.InRange(grouping.Bound, 0.2 * grouping.Total, grouping.Total);
    }

    [Fact]
    public void Clusters_are_found()
    {
        double[] at = [0, 100, 200, 0.1, 100.1, 200.1, 0.2, 100.2, 200.2, 5000];
        var grouping = Grouping.Best(10, 3, (i, j) => Math.Abs(at[i] - at[j]));
        Assert.Equal(["0 3 6", "1 4 7", "2 5 8"], grouping.Groups.Select(g => string.Join(' ', g.Members)).Order());
        Assert.Equal([9], grouping.LeftOver);
        Assert.True(grouping.IsProvenBest);
    }

    [Theory]
    [InlineData(5, 2)]
    [InlineData(5, 9)]
    [InlineData(2, 3)]
    [InlineData(1001, 3)]
    public void What_cannot_be_grouped_is_refused(int count, int size) => Assert.Throws<ArgumentException>(() => Grouping.Best(count, size, (_, _) => 1));

    [Theory]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    public void Distances_that_are_none_are_refused(double distance) => Assert.Throws<ArgumentException>(() => Grouping.Best(6, 3, (_, _) => distance));

    private static void IsWhole(Grouping grouping, int count, int size, Func<int, int, double> distance)
    {
        Assert.Equal(Enumerable.Range(0, count), grouping.Groups.SelectMany(g => g.Members).Concat(grouping.LeftOver).Order());
        Assert.Equal(count % size, grouping.LeftOver.Count);
        Assert.All(grouping.Groups, g =>
        {
            Assert.Equal(size, g.Members.Count);
            double[] pairs = [.. g.Members.SelectMany((a, i) => g.Members.Skip(i + 1).Select(b => distance(a, b)))];
            Assert.Equal((pairs.Sum(), pairs.Max()), (g.Sum, g.Worst), (a, b) => Math.Abs(a.Item1 - b.Item1) < 1e-9 && Math.Abs(a.Item2 - b.Item2) < 1e-12);
        });
    }

    // Least sum over all sets of places; the lowest place is grouped first, or left over.
    private static double ByTryingAll(int count, int size, Func<int, int, double> distance)
    {
        var least = new double[1 << count];
        Array.Fill(least, double.PositiveInfinity);
        least[0] = 0;
        for (var set = 1; set < least.Length; set++)
        {
            var first = int.TrailingZeroCount(set);
            var rest = set & ~(1 << first);
            if (int.PopCount(set) % size > 0) least[set] = least[rest];
            for (var others = rest; others > 0; others = (others - 1) & rest)
            {
                if (int.PopCount(others) != size - 1) continue;
                int[] group = [first, .. Enumerable.Range(0, count).Where(i => (others & (1 << i)) != 0)];
                var sum = group.SelectMany((a, i) => group.Skip(i + 1).Select(b => distance(a, b))).Sum();
                least[set] = Math.Min(least[set], least[rest & ~others] + sum);
            }
        }
        return least[^1];
    }
}
