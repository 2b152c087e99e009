using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Tests.Search;

public sealed class ValueSearchTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void The_search_finds_what_trying_everything_finds(int seed)
    {
        var order = Order(seed, 6, PreferredValues.Between(PreferredSeries.E12, 4_700, 33_000), PreferredValues.Between(PreferredSeries.E12, 47_000, 180_000), PreferredValues.Between(PreferredSeries.E12, 56_000, 220_000),
            new(GridAmps: 60e-6 * seed, PlateWatts: 0.05));
        var bench = new SearchBench(order);
        int[] tubes = [.. Enumerable.Range(0, order.Tubes.Count)];
        var best = (from p in order.Plate from u in order.Upper from l in order.Lower let values = new StageResistors(p, u, l) let found = bench.Measure(values, tubes)
            where order.Limits.Broken(found.Burden) is null orderby found.Margin descending select (values, found.Margin)).First();
        var result = ValueSearch.Run(order, TestContext.Current.CancellationToken).Value!;
        Assert.Equal(best.values, result.Best);
        Assert.Equal(best.Margin, result.MarginVolts);
        Assert.True(result.Solved < (long)result.Looked * order.Tubes.Count * 3 / 4);
    }

    [Fact]
    public void Limits_that_nothing_keeps_say_which_to_relax()
    {
        var order = Order(1, 2, [10_000], [100_000], [120_000], new(GridAmps: 1e-6));
        var refusal = Assert.Single(ValueSearch.Run(order, TestContext.Current.CancellationToken).Refusals);
        Assert.Equal("no-values-within-limits", refusal.Code);
        Assert.Contains("grid current", refusal.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void The_corners_of_a_tolerance_enclose_every_other_corner()
    {
        var order = Order(3, 1, [15_000], [100_000], [120_000], new());
        var bench = new StageBench(order.Rails, order.Values, order.Tubes[0], 1, DcSolver.Rough, StageShape.Inverter);
        bench.Plug(order.Tubes[0].Model, order.Tubes[0].Model);
        StageResistors nominal = new(15_000, 100_000, 120_000);
        double[] inputs = [.. Enumerable.Range(0, 43).Select(n => 28.0 * n / 42)];
        var (high, low) = (Outputs(SearchBench.Corners(nominal, 0.1)[0]), Outputs(SearchBench.Corners(nominal, 0.1)[1]));
        for (var pattern = 0; pattern < 32; pattern++)
        {
            double Part(double ohms, int bit) => ohms * ((pattern >> bit & 1) == 1 ? 1.1 : 0.9);
            var outputs = Outputs((new(Part(15_000, 0), Part(100_000, 1), Part(120_000, 2)), new(15_000, Part(100_000, 3), Part(120_000, 4))));
            for (var n = 0; n < inputs.Length; n++) Assert.InRange(outputs[n], low[n] - 0.02, high[n] + 0.02);
        }

        double[] Outputs((StageResistors Own, StageResistors Loads) at)
        {
            var (outputs, slopes) = (new double[inputs.Length], new double[inputs.Length]);
            bench.Fit(at.Own, at.Loads);
            Assert.True(bench.Sweep(inputs, outputs, slopes, out _));
            return outputs;
        }
    }

    private static SearchOrder Order(int seed, int tubes, IReadOnlyList<double> plate, IReadOnlyList<double> upper, IReadOnlyList<double> lower, StageLimits limits)
    {
        var random = new Random(seed);
        double Spread(double part) => Math.Exp(part * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5) * 2);
        var sound = ExampleTubes.Sound6AU6;
        var lot = Enumerable.Range(0, tubes).Select(n => new TubePart($"V{n}", "p", "s", "g", "0", Samples.Tube(sound with
        {
            Perveance = sound.Perveance * Spread(0.1), ScreenMu = sound.ScreenMu * Spread(0.05), PlateSpaceLimit = sound.PlateSpaceLimit * Spread(0.08),
            GridOffset = sound.GridOffset + 0.1 * Math.Log(Spread(1)), Emission = sound.Emission * Spread(0.7),
        }))).ToList();
        return new(new(28, -14, 6.3), new(), lot, 1, plate, upper, lower, limits);
    }
}
