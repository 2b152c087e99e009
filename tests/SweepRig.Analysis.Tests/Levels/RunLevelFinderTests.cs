using SweepRig.Analysis.Levels;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Tests.Levels;

public class RunLevelFinderTests
{
    private static readonly double[] Drive = Curves.Even(-12, 12, 0.1);

    private static RunLevels Levels(params Curve[] curves) =>
        RunLevelFinder.Find("0195a0d000007000800000000000000a", curves, Curves.Connection, Curves.Options, Curves.Known(Curves.Exact));

    [Fact]
    public void The_difference_of_up_and_down_is_taken_at_equal_drive()
    {
        // The down pass lags by 50 mV of drive: 4 x 50 mV at the steepest place.
        var up = Curves.Of(Drive, Curves.Tanh(4, 11, 0), 0.002, seed: 1);
        var down = Curves.Of(Drive, x => Curves.Tanh(4, 11, 0)(x - 0.05), 0.002, seed: 2).Reversed();
        var levels = Levels(up, down);
        Assert.Equal(2, levels.Curves.Count);
        Assert.Equal(0.2, levels.UpDownDifference.Value!.Value, 0.01);
        Assert.Null(levels.UpDownDifference.Mark);
        Assert.True(levels.UpDownDifference.Uncertainty < 0.01);
    }

    [Fact]
    public void Passes_that_differ_by_noise_alone_are_marked_so()
    {
        var marked = Enumerable.Range(0, 40).Count(seed =>
        {
            var up = Curves.Of(Drive, Curves.Tanh(4, 11, 0), 0.01, 2 * seed);
            var down = Curves.Of(Drive, Curves.Tanh(4, 11, 0), 0.01, 2 * seed + 1).Reversed();
            var figure = Levels(up, down).UpDownDifference;
            return figure.Value < 0.05 && figure.Mark == "no more than the noise";
        });
        Assert.InRange(marked, 30, 40);
    }

    [Fact]
    public void A_run_of_one_direction_has_no_difference() =>
        Assert.Contains("no up pass and down pass", Levels(Curves.Of(Drive, Curves.Tanh(4, 11, 0))).UpDownDifference.AbsentBecause, StringComparison.Ordinal);

    [Fact]
    public void Passes_of_different_second_source_are_not_compared()
    {
        var up = Curves.Of(Drive, Curves.Tanh(4, 11, 0));
        var down = Curves.Of(Drive, Curves.Tanh(4, 11, 1)).Reversed();
        down = down with { Pass = down.Pass with { SecondSourceVolts = 20 } };
        Assert.Null(Levels(up, down).UpDownDifference.Value);
    }

    [Fact]
    public void The_largest_difference_inside_missing_points_is_not_made_up()
    {
        var up = Curves.Of(Drive, x => 12, 0.0001);
        var down = Curves.Of(Drive, x => Math.Abs(x) < 0.5 ? 14 : 12.1, 0.0001, seed: 2).Reversed().Without(-0.6, 0.6);
        Assert.Equal(0.1, Levels(up, down).UpDownDifference.Value!.Value, 0.001);
    }
}
