using SweepRig.Analysis.Levels;

namespace SweepRig.Analysis.Tests.Levels;

/// <summary>
/// The stated uncertainty against the truth, on curves with seeded noise: two standard uncertainties hold the true value in about 95 % of trials
/// (GUM 6.2, normal distribution).
/// </summary>
public class CoverageTests
{
    private const int Seeds = 500;

    /// <summary>A falling output with a floor and a rise after it, as of a pentode driven far positive.</summary>
    private static double FoldingOutput(double x) => 24 - 9.5 * (1 + Math.Tanh((x + 1) / 1.4)) + 0.0022 * Math.Pow(Math.Max(0, x - 4), 2);

    private static readonly double[] Drive = Curves.Even(-14, 24, 0.2);

    private static (double Drive, double Output) TrueMinimum()
    {
        var best = (Drive: 0.0, Output: double.MaxValue);
        for (var x = -14.0; x <= 24; x += 1e-4)
        {
            if (FoldingOutput(x) is var v && v < best.Output) best = (x, v);
        }
        return best;
    }

    /// <param name="noise">Standard deviation of a reading, V.</param>
    /// <param name="most">Most trials that may hold the truth. With little noise the width of the drive steps rules the uncertainty, on the safe side.</param>
    [Theory]
    [InlineData(0.003, 1.00)]
    [InlineData(0.01, 0.99)]
    [InlineData(0.03, 0.99)]
    public void Two_standard_uncertainties_hold_the_truth(double noise, double most)
    {
        var minimum = TrueMinimum();
        // 9.5/1.4 / cosh^2(u) = 1 on either side of -1 V, where the rise has not begun.
        var unity = 1.4 * Math.Acosh(Math.Sqrt(9.5 / 1.4));
        // Turning points of noisy slopes are not normal; theirs may hold in fewer trials, and figures bounded by the grid in all.
        (string Name, double Truth, double Least, double Most, Func<CurveLevels, Figure> Pick)[] quantities =
        [
            ("lowest output", minimum.Output, 0.90, most, l => l.LowestOutput),
            ("highest output", FoldingOutput(-14), 0.90, most, l => l.HighestOutput),
            ("switching drive", -1, 0.90, most, l => l.SwitchingDrive),
            ("switching gain", -9.5 / 1.4, 0.90, 1, l => l.SwitchingGain),
            ("lower unity gain", -1 - unity, 0.85, 1, l => l.UnityGainLow),
            ("upper unity gain", -1 + unity, 0.85, 1, l => l.UnityGainHigh),
            ("depth of the fold-back", FoldingOutput(24) - minimum.Output, 0.90, most, l => l.FoldBackDepth),
            // The bend of this floor jumps at 4 V, next to its minimum, and a polynomial smooths the jump.
            ("drive at the minimum", minimum.Drive, 0.88, 1, l => l.DriveAtMinimum),
        ];
        var hits = new int[quantities.Length];
        for (var seed = 0; seed < Seeds; seed++)
        {
            var levels = LevelFinder.Find(Curves.Of(Drive, FoldingOutput, noise, seed), Curves.Connection, Curves.Options, Curves.Known(Curves.Exact));
            for (var q = 0; q < quantities.Length; q++)
            {
                var figure = quantities[q].Pick(levels);
                Assert.True(figure.Value is not null, $"{quantities[q].Name}, seed {seed}: {figure.AbsentBecause}");
                if (Math.Abs(figure.Value.Value - quantities[q].Truth) <= 2 * figure.Uncertainty!.Value) hits[q]++;
            }
        }
        var report = string.Join("; ", quantities.Select((q, i) => $"{q.Name} {hits[i] / (double)Seeds:P1}"));
        for (var q = 0; q < quantities.Length; q++)
            Assert.True(hits[q] >= Seeds * quantities[q].Least && hits[q] <= Seeds * quantities[q].Most, report);
    }

    [Theory]
    [InlineData(0.003)]
    [InlineData(0.03)]
    public void A_floor_without_a_rise_is_hardly_ever_called_fold_back(double noise)
    {
        var called = Enumerable.Range(0, Seeds).Count(seed => LevelFinder.Find(
            Curves.Of(Drive, x => 24 - 9.5 * (1 + Math.Tanh((x + 1) / 1.4)), noise, seed), Curves.Connection, Curves.Options, Curves.Known(Curves.Exact)).FoldBackDepth.Value is not null);
        Assert.InRange(called, 0, Seeds / 50);
    }
}
