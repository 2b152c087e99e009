using SweepRig.Analysis.Uncertainty;

namespace SweepRig.Benchmarks.Stock;

/// <summary>Tubes to be matched: four quantities each, seeded.</summary>
internal static class SimulatedLot
{
    private const int Quantities = 4;

    public static Func<int, int, double> Of(int count)
    {
        var random = new RandomStream(2_000);
        var tubes = Enumerable.Range(0, count).Select(_ => Enumerable.Range(0, Quantities).Select(_ => random.Normal()).ToArray()).ToArray();
        return (i, j) =>
        {
            double sum = 0;
            for (var k = 0; k < Quantities; k++) sum += (tubes[i][k] - tubes[j][k]) * (tubes[i][k] - tubes[j][k]);
            return Math.Sqrt(sum);
        };
    }
}
