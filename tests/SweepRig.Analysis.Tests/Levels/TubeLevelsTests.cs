using SweepRig.Analysis.Levels;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Tests.Levels;

/// <summary>Levels of a modelled small pentode at 24 V, 10 kilohm, 100 ohm and 4.7 kilohm. What to expect is common practice, no source.</summary>
public class TubeLevelsTests
{
    private static CurveLevels Levels(ConnectionKind kind, double noise, PassDirection direction = PassDirection.Up, double step = 0.2, int seed = 1)
    {
        var connection = Curves.Connection with { Kind = kind };
        var tube = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        var solver = new FixtureSolver(connection);
        var drive = Curves.Even(-12, 24, step);
        var points = Array.ConvertAll(drive, x => solver.Solve(tube, x));
        var at = 0;
        var curve = Curves.Of(drive, _ => points[at++].Plate, noise, seed, gridCurrent: x => points[Array.IndexOf(drive, x)].GridCurrent);
        return LevelFinder.Find(direction == PassDirection.Up ? curve : curve.Reversed(), connection, Curves.Options, Curves.Known(Curves.Exact));
    }

    [Theory]
    [InlineData(0.0, PassDirection.Up)]
    [InlineData(0.005, PassDirection.Up)]
    [InlineData(0.005, PassDirection.Down)]
    public void A_pentode_starts_at_the_rail_falls_to_about_five_volts_and_folds_back(double noise, PassDirection direction)
    {
        var levels = Levels(ConnectionKind.Pentode, noise, direction);
        Assert.Equal(24, levels.HighestOutput.Value!.Value, 0.02);
        Assert.InRange(levels.LowestOutput.Value!.Value, 4, 6);
        Assert.InRange(levels.FoldBackDepth.Value!.Value, 0.1, 0.6);
        Assert.InRange(levels.DriveAtMinimum.Value!.Value, 0, 10);
        Assert.True(levels.SwitchingGain.Value < -1);
        Assert.True(levels.UnityGainLow.Value < levels.SwitchingDrive.Value);
        Assert.True(levels.SwitchingDrive.Value < levels.UnityGainHigh.Value);
        Assert.True(levels.CutOffDrive.Value < levels.UnityGainLow.Value + 0.5);
        // Onset of grid current: between -1.5 V and +1 V in small receiving tubes (common practice, no source).
        Assert.InRange(levels.GridCurrentOnset.Value!.Value, -1.5, 1);
    }

    [Theory]
    [InlineData(0.0)]
    [InlineData(0.005)]
    public void A_triode_does_not_fold_back_and_its_floor_lies_lower(double noise)
    {
        var levels = Levels(ConnectionKind.Triode, noise);
        Assert.Null(levels.FoldBackDepth.Value);
        Assert.StartsWith("none", levels.FoldBackDepth.AbsentBecause, StringComparison.Ordinal);
        Assert.True(levels.LowestOutput.Value < Levels(ConnectionKind.Pentode, noise).LowestOutput.Value);
    }

    [Theory]
    [InlineData(ConnectionKind.Pentode)]
    [InlineData(ConnectionKind.Triode)]
    public void A_noisy_sweep_in_wide_steps_agrees_with_a_quiet_one_in_fine_steps_within_its_uncertainty(ConnectionKind kind)
    {
        var truth = Levels(kind, 0, step: 0.005);
        (string Name, Func<CurveLevels, Figure> Pick)[] quantities =
        [
            ("highest output", l => l.HighestOutput),
            ("lowest output", l => l.LowestOutput),
            ("switching drive", l => l.SwitchingDrive),
            ("switching output", l => l.SwitchingOutput),
            ("switching gain", l => l.SwitchingGain),
            ("lower unity gain", l => l.UnityGainLow),
            ("upper unity gain", l => l.UnityGainHigh),
            ("cut-off", l => l.CutOffDrive),
            ("grid onset", l => l.GridCurrentOnset),
        ];
        const int seeds = 40;
        var outside = new Dictionary<string, int>();
        for (var seed = 0; seed < seeds; seed++)
        {
            var levels = Levels(kind, 0.005, seed: seed);
            foreach (var (name, pick) in quantities)
            {
                var (figure, expected) = (pick(levels), pick(truth));
                if (figure.Value is not { } value || Math.Abs(value - expected.Value!.Value) > 2 * figure.Uncertainty)
                    outside[name] = outside.GetValueOrDefault(name) + 1;
            }
        }
        // 5 % of 40 are 2; more than 8 have a chance below 1 in 1000.
        Assert.True(outside.Values.All(n => n <= 8), string.Join("; ", outside.Select(o => $"{o.Key}: {o.Value} of {seeds}")));
    }
}
