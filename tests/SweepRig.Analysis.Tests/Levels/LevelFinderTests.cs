using SweepRig.Analysis.Levels;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Tests.Levels;

public class LevelFinderTests
{
    private static readonly Func<double, double> Inverter = Curves.Tanh(4, 11, 0);

    private static CurveLevels Levels(Curve curve, RigCalibration? calibration = null) =>
        LevelFinder.Find(curve, Curves.Connection, Curves.Options, Curves.Known(calibration ?? Curves.Exact));

    private static Figure[] All(CurveLevels l) =>
    [
        l.HighestOutput, l.LowestOutput, l.SwitchingDrive, l.SwitchingOutput, l.SwitchingGain, l.UnityGainLow, l.UnityGainHigh, l.CutOffDrive,
        l.GridCurrentOnset, l.FoldBackDepth, l.DriveAtMinimum, l.OutputAtUnityLow, l.OutputAtUnityHigh, l.TransitionWidth, l.CutOffDriveOfFull, l.GridCurrentOnsetUpper, l.CathodeTemperature,
        l.InputCurrentAtHigh, l.FoldBackSlope, l.SaturatedResistance, l.MarginLow, l.MarginHigh,
    ];

    [Fact]
    public void A_curve_swept_down_says_the_same_as_swept_up()
    {
        var up = Curves.Of(Curves.Even(-12, 12, 0.1), Inverter, 0.01);
        static (double?, double?, string?, string?) Said(Figure f) => (f.Value, f.Uncertainty, f.Mark, f.AbsentBecause);
        Assert.Equal(All(Levels(up)).Select(Said), All(Levels(up.Reversed())).Select(Said));
    }

    [Fact]
    public void A_sweep_that_was_broken_off_while_the_tube_was_cut_off_says_why_there_are_no_levels()
    {
        for (var points = 3; points <= 40; points++)
        {
            for (var seed = 1; seed <= 20; seed++)
            {
                var levels = Levels(Curves.Of(Curves.Even(-14, -14 + 0.014 * (points - 1), 0.014), _ => 24, 0.004, seed));
                Assert.All([levels.UnityGainLow, levels.UnityGainHigh], f => Assert.NotEqual(f.Value is null, f.AbsentBecause is null));
            }
        }
    }

    [Fact]
    public void Every_figure_has_a_value_or_a_reason_and_never_both()
    {
        Curve[] curves =
        [
            Curves.Of(Curves.Even(-12, 12, 0.1), Inverter, 0.01),
            Curves.Of(Curves.Even(-12, 12, 0.1), _ => 24, 0.01),
            Curves.Of(Curves.Even(-12, 12, 0.1), _ => 24),
            Curves.Of(Curves.Even(-12, 12, 0.1), x => 12 + x, 0.01),
            Curves.Of([-1, -1, -1, -1, -1, -1], _ => 5, 0.1),
            Curves.Of([-1, 0], x => x),
            Curves.Of([], x => x),
            Curves.Of(Curves.Even(-12, 12, 0.1), Inverter, 0.01).Without(-13, 13),
            Curves.Of(Curves.Even(-12, 12, 0.1), Inverter, 0.01).Without(-13, 11.7),
            Curves.Of(Curves.Even(-12, 12, 0.1), x => x < 0 ? 24 : 1, 0.001),
        ];
        foreach (var figure in curves.SelectMany(c => All(Levels(c))))
        {
            Assert.NotEqual(figure.Value is null, figure.AbsentBecause is null);
            if (figure.Value is { } value)
            {
                Assert.True(double.IsFinite(value));
                Assert.True(figure.Uncertainty >= 0 && double.IsFinite(figure.Uncertainty.Value));
            }
            else
            {
                Assert.NotEmpty(figure.AbsentBecause!);
            }
        }
    }

    [Fact]
    public void A_dead_tube_does_not_switch()
    {
        var levels = Levels(Curves.Of(Curves.Even(-12, 12, 0.1), _ => 24, 0.01));
        Assert.Null(levels.SwitchingDrive.Value);
        Assert.Contains("does not fall", levels.SwitchingDrive.AbsentBecause, StringComparison.Ordinal);
        Assert.Contains("stays below 20 µA", levels.CutOffDrive.AbsentBecause, StringComparison.Ordinal);
        Assert.Contains("stays below 20 µA", levels.GridCurrentOnset.AbsentBecause, StringComparison.Ordinal);
        Assert.Equal(24, levels.HighestOutput.Value!.Value, 0.01);
    }

    [Fact]
    public void A_tube_that_conducts_at_the_lowest_drive_has_no_cut_off()
    {
        var levels = Levels(Curves.Of(Curves.Even(-5, 5, 0.1), x => 10 - x, 0.001));
        Assert.Contains("at the lowest drive, -5 V", levels.CutOffDrive.AbsentBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_is_read_across_missing_points()
    {
        var whole = Curves.Of(Curves.Even(-12, 12, 0.1), Inverter, 0.003);
        var levels = Levels(whole.Without(-1.05, 0.75));
        foreach (var figure in new[] { levels.SwitchingDrive, levels.SwitchingOutput, levels.SwitchingGain })
            Assert.Contains("in the gap between -1.1 V and 800 mV", figure.AbsentBecause, StringComparison.Ordinal);
        // The unity-gain points lie clear of the gap, at -3.62 and +3.62 V.
        Assert.Equal(-3.6216, levels.UnityGainLow.Value!.Value, 0.05);
        Assert.Equal(3.6216, levels.UnityGainHigh.Value!.Value, 0.05);

        var withoutKnee = Levels(whole.Without(-4.05, -3.05));
        Assert.Contains("in the gap between -4.1 V and -3 V", withoutKnee.UnityGainLow.AbsentBecause, StringComparison.Ordinal);
        Assert.Equal(0, withoutKnee.SwitchingDrive.Value!.Value, 0.02);
        Assert.NotNull(withoutKnee.UnityGainHigh.Value);
    }

    [Fact]
    public void A_current_is_not_read_across_missing_points()
    {
        var curve = Curves.Of(Curves.Even(-5, 1, 0.05), x => 24 - 2 * Math.Max(0, x + 2.02), 0.0005);
        var whole = Levels(curve).CutOffDrive;
        Assert.Equal(-1.92, whole.Value!.Value, 0.01);
        Assert.Contains("in the gap between", Levels(curve.Without(-2.2, -1.8)).CutOffDrive.AbsentBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void A_gap_at_the_end_of_the_drive_is_marked_and_not_filled()
    {
        static double Output(double x) => 5 + 0.01 * x * x;
        var levels = Levels(Curves.Of(Curves.Even(-12, 12, 0.1), Output, 0.002).Without(8.05, 13));
        Assert.Equal(0.64, levels.FoldBackDepth.Value!.Value, 0.01);
        Assert.Contains("last 40 points", levels.FoldBackDepth.Mark, StringComparison.Ordinal);
    }

    [Fact]
    public void Fold_back_is_found_with_its_drive()
    {
        var levels = Levels(Curves.Of(Curves.Even(-12, 24, 0.2), x => 5 + 0.001 * (x - 8) * (x - 8), 0.004));
        Assert.Equal(0.256, levels.FoldBackDepth.Value!.Value, 0.01);
        Assert.Equal(8, levels.DriveAtMinimum.Value!.Value, 0.3);
        Assert.True(Math.Abs(8 - levels.DriveAtMinimum.Value.Value) < 3 * levels.DriveAtMinimum.Uncertainty);
    }

    [Fact]
    public void A_rise_below_the_floor_is_no_fold_back()
    {
        var levels = Levels(Curves.Of(Curves.Even(-12, 24, 0.2), x => x < 0 ? 5 - x : 5 + 0.0005 * x, 0.0001));
        Assert.Contains("none", levels.FoldBackDepth.AbsentBecause, StringComparison.Ordinal);
        Assert.Contains("20 mV", levels.FoldBackDepth.AbsentBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void Figures_of_an_uncalibrated_rig_say_so_and_carry_its_uncertainty()
    {
        var curve = Curves.Of(Curves.Even(-12, 12, 0.1), Inverter, 0.003);
        foreach (var figure in All(Levels(curve, Curves.Nominal)).Where(f => f.Value is not null))
            Assert.Contains("not calibrated", figure.Mark, StringComparison.Ordinal);
        foreach (var figure in All(Levels(curve)).Where(f => f.Value is not null))
            Assert.DoesNotContain("not calibrated", figure.Mark ?? "", StringComparison.Ordinal);

        var levels = Levels(curve, Curves.Nominal);
        Assert.True(levels.SwitchingDrive.Uncertainty >= VoltageCorrection.Nominal.OffsetUncertaintyVolts);
        // Gains of two independent channels: 0.82 % each.
        Assert.Equal(4 * 0.0082 * Math.Sqrt(2), levels.SwitchingGain.Uncertainty!.Value, 0.005);
    }

    [Fact]
    public void Figures_of_a_stale_calibration_say_so()
    {
        var stale = Curves.Exact with { IsStale = true };
        foreach (var figure in All(Levels(Curves.Of(Curves.Even(-12, 12, 0.1), Inverter, 0.003), stale)).Where(f => f.Value is not null))
            Assert.Contains("stale", figure.Mark, StringComparison.Ordinal);
    }

    [Fact]
    public void A_drive_beyond_the_calibrated_ones_leans_on_extrapolation()
    {
        var upToZero = Curves.Exact with { Drive = Curves.Exact.Drive with { Range = new(-14, 0) } };
        var levels = Levels(Curves.Of(Curves.Even(-12, 12, 0.1), Inverter, 0.003), upToZero);
        Assert.Contains("extrapolation", levels.UnityGainHigh.Mark, StringComparison.Ordinal);
        Assert.Contains("-14 V to 0 V", levels.UnityGainHigh.Mark, StringComparison.Ordinal);
        Assert.DoesNotContain("extrapolation", levels.UnityGainLow.Mark ?? "", StringComparison.Ordinal);
    }

    [Fact]
    public void Currents_that_an_uncalibrated_rig_shows_where_none_flow_do_not_count()
    {
        // Supply read 0.9 % high: 21.6 uA over 10 kilohm at cut-off. Drive read 0.5 % low: -15 uA over the stopper at -14 V.
        var drive = Curves.Even(-14, 4, 0.1);
        var curve = Curves.Of(drive, x => 24 - 2 * Math.Max(0, x + 2.02), 0.0005);
        curve = curve with
        {
            PlateCurrent = Array.ConvertAll(curve.PlateCurrent, i => i + 21.6e-6),
            GridCurrent = Array.ConvertAll(drive, x => x * -0.005 / 4_700 + 20e-6 * Math.Exp((x + 0.4) / 0.0905)),
        };
        var levels = Levels(curve, Curves.Nominal);
        Assert.Equal(-1.92, levels.CutOffDrive.Value!.Value, 0.01);
        Assert.Contains("counted from", levels.CutOffDrive.Mark, StringComparison.Ordinal);
        Assert.Equal(-0.4, levels.GridCurrentOnset.Value!.Value, 0.01);
        Assert.Contains("counted from", levels.GridCurrentOnset.Mark, StringComparison.Ordinal);
        // With a calibrated rig the same reading is a current.
        Assert.Null(Levels(curve).CutOffDrive.Value);
    }

    [Fact]
    public void Resolution_does_not_average_away()
    {
        // One step of 10 mV, no noise: rectangular, q/sqrt(12) (GUM F.2.2.1), however many equal readings there are.
        const double q = 0.01;
        var curve = Curves.Of(Curves.Even(-12, 12, 0.1), x => Math.Round(Inverter(x) / q) * q);
        curve = curve with { PlateUncertainty = Array.ConvertAll(curve.Drive, _ => q / Math.Sqrt(12)) };
        Assert.True(Levels(curve).HighestOutput.Uncertainty >= q / Math.Sqrt(12));
    }

    [Fact]
    public void Figures_that_lean_on_bad_samples_say_so()
    {
        var curve = Curves.Of(Curves.Even(-12, 12, 0.1), Inverter, 0.003);
        var flags = (SampleFlags[])curve.Flags.Clone();
        for (var i = 110; i <= 130; i++) flags[i] = SampleFlags.Clipped;
        var levels = Levels(curve with { Flags = flags });
        Assert.Contains("converter's range", levels.SwitchingDrive.AbsentBecause, StringComparison.Ordinal);
        for (var i = 110; i <= 130; i++) flags[i] = SampleFlags.Settled;
        flags[120] = SampleFlags.None;
        Assert.Contains("not settled", Levels(curve with { Flags = flags }).SwitchingDrive.Mark, StringComparison.Ordinal);
        Assert.Null(levels.UnityGainLow.Mark);
    }

    [Fact]
    public void Codes_that_repeat_because_the_dac_is_coarser_than_the_plan_do_no_harm()
    {
        double[] drive = [.. Curves.Even(-12, 12, 0.1).SelectMany(x => new[] { x, x, x })];
        var levels = Levels(Curves.Of(drive, Inverter, 0.003));
        Assert.Equal(0, levels.SwitchingDrive.Value!.Value, 0.02);
        Assert.Equal(-4, levels.SwitchingGain.Value!.Value, 0.1);
    }
}
