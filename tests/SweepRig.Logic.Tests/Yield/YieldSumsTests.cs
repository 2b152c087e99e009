using System.Numerics;
using MathNet.Numerics.Statistics;
using SweepRig.Logic.Yield;

namespace SweepRig.Logic.Tests.Yield;

public sealed class YieldSumsTests
{
    [Fact]
    public void Correlations_of_parts_added_are_those_of_all_trials_at_once()
    {
        var random = new Random(4);
        const int Factors = 3, Parts = 5, Packs = 30;
        List<double>[] drawn = [.. Enumerable.Range(0, Factors).Select(_ => new List<double>())];
        var distances = new List<double>();
        var all = new YieldSums(Factors);
        for (var part = 0; part < Parts; part++)
        {
            var lanes = YieldSums.Lanes(Factors);
            for (var pack = 0; pack < Packs; pack++)
            {
                double[][] at = [.. Enumerable.Range(0, Factors).Select(_ => Enumerable.Range(0, Vector<double>.Count).Select(_ => 2 * random.NextDouble() - 1).ToArray())];
                // The first factor weighs, the second against it and less, the third not at all.
                double[] apart = [.. Enumerable.Range(0, Vector<double>.Count).Select(lane => at[0][lane] - 0.3 * at[1][lane] + 0.2 * random.NextDouble())];
                YieldSums.Sum(lanes, [.. at.Select(a => new Vector<double>(a))], new(apart));
                for (var f = 0; f < Factors; f++) drawn[f].AddRange(at[f]);
                distances.AddRange(apart);
            }
            all.Add(new(Packs * Vector<double>.Count, lanes));
        }
        for (var f = 0; f < Factors; f++) Assert.Equal(Correlation.Pearson(drawn[f], distances), all.Correlation(f), 1e-12);
        Assert.True(all.Correlation(0) > 0.9 && all.Correlation(1) < -0.2);
    }

    [Fact]
    public void What_does_not_vary_weighs_nothing()
    {
        var lanes = YieldSums.Lanes(1);
        YieldSums.Sum(lanes, [Vector<double>.Zero], Vector<double>.One);
        Assert.Equal(0, new YieldSums(Vector<double>.Count, lanes).Correlation(0));
    }
}
