using SweepRig.Analysis.Levels;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Tests.Levels;

/// <summary>Margins, small grid currents, input current, saturation, repeats and budgets against closed forms and worked numbers.</summary>
public class FurtherLevelsTests
{
    private static CurveLevels Levels(Curve curve, LevelOptions? options = null, RigCalibration? calibration = null) =>
        LevelFinder.Find(curve, Curves.Connection, options ?? Curves.Options, Curves.Known(calibration ?? Curves.Exact));

    private static void Near(double expected, Figure figure, double tolerance) =>
        Assert.True(Math.Abs(figure.Value!.Value - expected) <= tolerance, $"{figure.Value} ± {figure.Uncertainty}, expected {expected}: {figure.Mark}");

    // Vo = Vm - H tanh(g(Vi - Vm)/H): with u* = arccosh(sqrt g) the margins by the -1 points are H sqrt(1 - 1/g) - H/g u*, which is also the side of the largest square in the loop of two
    // such inverters (Seevinck, List and Lohstroh, IEEE J. Solid-State Circuits 22 (1987) 748, by numeric square 5.90464).
    [Theory]
    [InlineData(4, 3.6216342, 9.5262794, 5.9046452)]
    [InlineData(2, 4.8475547, 7.7781746, 2.9306199)]
    [InlineData(10, 2.0002911, 10.4355163, 8.4352252)]
    public void Margins_of_the_tanh_inverter(double g, double input, double output, double margin)
    {
        var levels = Levels(Curves.Of(Curves.Even(0, 24, 0.02), Curves.Tanh(g, 11, 12)));
        Near(12 - input, levels.UnityGainLow, 1e-3);
        Near(12 + input, levels.UnityGainHigh, 1e-3);
        Near(12 + output, levels.OutputAtUnityLow, 1e-3);
        Near(12 - output, levels.OutputAtUnityHigh, 1e-3);
        Near(2 * input, levels.TransitionWidth, 2e-3);
        Near(margin, levels.MarginLow, 2e-3);
        Near(margin, levels.MarginHigh, 2e-3);
    }

    // Retarding field at 1050 K, kT/e = 90.482 mV: from 1 nA at -1.0 V a step of 0.3 V makes 27.538 nA (CODATA 2018 constants); 0.3 µA then flow at -1.0 + 0.090482 ln 300 V.
    private static double SmallGridCurrent(double grid) => 1e-9 * Math.Exp((grid + 1) / 0.0904819);

    /// <summary>Behind 4.7 kΩ, so that the drive is higher by the drop.</summary>
    private static double AtDrive(double drive)
    {
        double low = -10, high = drive;
        for (var i = 0; i < 80; i++)
        {
            var grid = (low + high) / 2;
            if (drive - grid > 4_700 * SmallGridCurrent(grid)) low = grid;
            else high = grid;
        }
        return SmallGridCurrent((low + high) / 2);
    }

    [Fact]
    public void The_law_that_is_used_has_the_worked_numbers()
    {
        Assert.Equal(27.538e-9, SmallGridCurrent(-0.7), 0.002e-9);
        Assert.Equal(0.3e-6, SmallGridCurrent(-1 + 0.0904819 * Math.Log(300)), 1e-12);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Onset_under_the_noise_is_told_by_the_law_of_the_retarding_field_and_says_so(int seed)
    {
        // Noise of 2 mV over 4.7 kΩ is 0.43 µA; the channels differ by 5 mV and 0.1 %, as calibrated ones may.
        var drive = Curves.Even(-4, 0.5, 0.02);
        var curve = Curves.Of(drive, x => 12 - x, 0.002, seed, AtDrive);
        curve = curve with { GridCurrent = [.. curve.GridCurrent.Select((amps, i) => amps + (5e-3 + 1e-3 * drive[i]) / 4_700)] };
        var levels = Levels(curve, new LevelOptions());
        var expected = -1 + 0.0904819 * Math.Log(300) + 4_700 * 0.3e-6;
        Near(expected, levels.GridCurrentOnset, 3.5 * levels.GridCurrentOnset.Uncertainty!.Value);
        Assert.True(levels.GridCurrentOnset.Uncertainty < 0.05);
        Assert.Contains("extrapolated by the law of the retarding field", levels.GridCurrentOnset.Mark, StringComparison.Ordinal);
        Assert.Contains("300 nA", levels.GridCurrentOnset.Mark, StringComparison.Ordinal);
        Near(-1 + 0.0904819 * Math.Log(1000) + 4_700 * 1e-6, levels.GridCurrentOnsetUpper, 3.5 * levels.GridCurrentOnsetUpper.Uncertainty!.Value);
    }

    [Fact]
    public void A_quiet_curve_tells_its_onset_without_the_law()
    {
        var figure = Levels(Curves.Of(Curves.Even(-4, 0.5, 0.01), x => 12 - x, gridCurrent: AtDrive), new LevelOptions()).GridCurrentOnset;
        Near(-1 + 0.0904819 * Math.Log(300) + 4_700 * 0.3e-6, figure, 1e-3);
        Assert.Null(figure.Mark);
    }

    [Fact]
    public void A_slope_that_no_cathode_has_is_called_leakage()
    {
        // A factor e in 0.35 V: 4,060 K.
        var curve = Curves.Of(Curves.Even(-6, 1, 0.02), x => 12 - x, 0.001, gridCurrent: x => 1e-6 * Math.Exp((x + 0.5) / 0.35));
        Assert.Contains("leakage", Levels(curve, new LevelOptions()).GridCurrentOnset.Mark, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_grid_current_there_is_no_onset()
    {
        var levels = Levels(Curves.Of(Curves.Even(-4, 0, 0.02), x => 12 - x, 0.002), new LevelOptions());
        Assert.Contains("stays below 4 µA", levels.GridCurrentOnset.AbsentBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void Input_current_at_VOH_is_read_where_the_drive_is_VOH()
    {
        // VOH 23 V; behind 4.7 kΩ the grid stays at +3 V: 20 V over it.
        var curve = Curves.Of(Curves.Even(-6, 25, 0.1), Curves.Tanh(4, 9, 14), 0.001, gridCurrent: x => Math.Max(0, (x - 3) / 4_700));
        var levels = Levels(curve);
        Near((levels.HighestOutput.Value!.Value - 3) / 4_700, levels.InputCurrentAtHigh, 3 * levels.InputCurrentAtHigh.Uncertainty!.Value + 1e-9);
        Assert.Equal("A", levels.InputCurrentAtHigh.Unit);
        var shorter = Levels(Curves.Of(Curves.Even(-6, 20, 0.1), Curves.Tanh(4, 9, 14), 0.001));
        Assert.Contains("the drive ends at 20 V, below the highest output", shorter.InputCurrentAtHigh.AbsentBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void Saturated_plate_resistance_and_cut_off_of_full()
    {
        // Floor 4 V, so that 2 mA flow through 10 kΩ from 24 V: 2 kΩ. 1 % of it, 20 µA, where the output is 0.2 V below the rail.
        Assert.Contains("does not conduct", Levels(Curves.Of(Curves.Even(-12, 12, 0.05), _ => 24, 0.001)).SaturatedResistance.AbsentBecause, StringComparison.Ordinal);
        var curve = Curves.Of(Curves.Even(-12, 12, 0.05), x => 14 - 10 * Math.Tanh(4 * x / 10), 0.001);
        var levels = Levels(curve);
        Near(4 / 2e-3, levels.SaturatedResistance, 3 * levels.SaturatedResistance.Uncertainty!.Value + 1);
        Near(-10.0 / 4 * Math.Atanh(0.98), levels.CutOffDriveOfFull, 3 * levels.CutOffDriveOfFull.Uncertainty!.Value);
        Assert.Contains("does not conduct", Levels(Curves.Of(Curves.Even(-12, 12, 0.05), _ => 24, 0.001)).CutOffDriveOfFull.AbsentBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void A_budget_adds_up_and_is_that_of_the_calibration()
    {
        var meter = new VoltageCorrection(12, 1, 0, 12, 20, new(4e-6, 0, 4e-8, 0, 0, 0), 5e-4, 2e-3);
        var calibration = Curves.With("calibrated", meter);
        var levels = Levels(Curves.Of(Curves.Even(-12, 12, 0.1), Curves.Tanh(4, 11, 0), 0.003), calibration: calibration);
        var known = Curves.Known(calibration);
        Figure[] figures = [levels.HighestOutput, levels.SwitchingDrive, levels.SwitchingGain, levels.UnityGainLow, levels.MarginHigh];
        Assert.All(figures, f => Assert.Equal(f.Uncertainty!.Value, Math.Sqrt(f.Budget!.Sum(c => c.Part * c.Part)), 1e-12));
        var systematic = levels.HighestOutput.Budget!.Where(c => c.Name.Contains("calibration", StringComparison.Ordinal) || c.Name.Contains("meter", StringComparison.Ordinal)).Sum(c => c.Part * c.Part);
        var voh = InputQuantity.Voltage(VoltagePlace.Plate, levels.HighestOutput.Value!.Value).Times(1);
        Assert.Equal(known.StandardUncertainty(voh), Math.Sqrt(systematic), 1e-6);
        // A meter that reads 0.05 % high makes outputs and drives wrong alike: the gain does not notice (JCGM 100:2008, 5.2.2).
        Assert.DoesNotContain(levels.SwitchingGain.Budget!, c => c.Name == "gain of the reference meter" && c.Part > 1e-9);
        Assert.Contains(levels.HighestOutput.Budget!, c => c.Name == "gain of the reference meter");
    }

    [Fact]
    public void Repeats_tell_their_scatter_and_a_single_one_nothing()
    {
        var drive = Curves.Even(-12, 12, 0.1);
        Curve Repeat(int n) => Curves.Of(drive, Curves.Tanh(4, 11, 0), 0.01, seed: n + 1) is var c ? c with { Pass = c.Pass with { Index = n, Repeat = n } } : null!;
        var run = RunLevelFinder.Find("run", [Repeat(0), Repeat(1), Repeat(2)], Curves.Connection, Curves.Options, Curves.Known(Curves.Exact));
        Near(0.01, run.Repeatability.Output, 0.0015);
        Assert.True(run.Repeatability.SwitchingDrive.Value is > 0 and < 0.1);
        var single = RunLevelFinder.Find("run", [Repeat(0)], Curves.Connection, Curves.Options, Curves.Known(Curves.Exact));
        Assert.Contains("single repeat", single.Repeatability.Output.AbsentBecause, StringComparison.Ordinal);
    }

    [Fact]
    public void Bad_input_is_answered_in_words()
    {
        Assert.Contains("only 2 usable points; at least 5", Levels(Curves.Of([-1, 0], x => x)).UnityGainLow.AbsentBecause, StringComparison.Ordinal);
        var holes = Curves.Of(Curves.Even(-12, 12, 0.1), Curves.Tanh(4, 11, 0), 0.003);
        holes = holes with { Plate = [.. holes.Plate.Select((v, i) => i % 2 == 0 ? double.NaN : v)] };
        Assert.Contains("no stretch of the curve has enough points", Levels(holes).UnityGainLow.AbsentBecause, StringComparison.Ordinal);
        var clipped = Curves.Of(Curves.Even(-12, 12, 0.1), x => Math.Min(10, Curves.Tanh(4, 11, 0)(x)), 0.003);
        clipped = clipped with { Flags = [.. clipped.Drive.Select(x => x < -5 ? SampleFlags.Settled | SampleFlags.Clipped : SampleFlags.Settled)] };
        // What is cut off at 10 V is no reading of 10 V: the highest output is not told, and what lies clear of it is.
        Assert.Null(Levels(clipped).HighestOutput.Value);
        Assert.Contains("lower the rail or the drive", Levels(clipped).HighestOutput.AbsentBecause, StringComparison.Ordinal);
        Assert.Equal(Levels(clipped with { Flags = [.. clipped.Flags.Select(_ => SampleFlags.Settled)] }).SwitchingDrive.Value!.Value, Levels(clipped).SwitchingDrive.Value!.Value, 0.02);
        var all = clipped with { Flags = [.. clipped.Flags.Select(_ => SampleFlags.Clipped)] };
        Assert.Contains("only 0 usable points; at least 5 are needed: 241 had a channel at the end of its converter's range", Levels(all).LowestOutput.AbsentBecause, StringComparison.Ordinal);
    }
}
