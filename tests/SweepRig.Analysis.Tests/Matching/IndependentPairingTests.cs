using SweepRig.Analysis.Matching;

namespace SweepRig.Analysis.Tests.Matching;

/// <summary>Pairings held against those of another solver.</summary>
public sealed class IndependentPairingTests
{
    // NetworkX 2.8, max_weight_matching (Galil 1986, ACM Computing Surveys 18, 23).
    [Fact]
    public async Task Sum_and_worst_pair_are_those_of_networkx()
    {
        int[] counts = [2, 3, 5, 8, 13, 20, 21, 34, 47, 60, 60, 61];
        var lots = counts.Select((count, n) => (count, Lots.Plane(count, 77 + (ulong)n))).ToArray();
        var theirs = await NetworkX.PairAsync(lots, TestContext.Current.CancellationToken);
        Assert.Equal(counts.Length, theirs.Count);
        foreach (var ((count, distance), (sum, worst)) in lots.Zip(theirs))
        {
            var best = Pairing.Best(count, distance);
            Assert.True(best.IsProvenBest);
            Assert.Equal(sum, best.Total, 9);
            Assert.Equal(worst, Pairing.BestWorst(count, distance).Worst, 12);
        }
    }
}
