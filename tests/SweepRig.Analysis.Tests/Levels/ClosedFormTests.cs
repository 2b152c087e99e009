using SweepRig.Analysis.Levels;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Tests.Levels;

/// <summary>Transfer curves whose levels follow from a formula. Unity-gain points as in the textbook convention of VIL and VIH: dVo/dVi = -1.</summary>
public class ClosedFormTests
{
    private static CurveLevels Levels(Curve curve) => LevelFinder.Find(curve, Curves.Connection, Curves.Options, Curves.Known(Curves.Exact));

    // For Vo = Vm - H tanh(g(Vi - Vm)/H) the slope is -g/cosh^2(u), u = g(Vi - Vm)/H, so that the unity-gain points lie H/g arccosh(sqrt(g)) from Vm,
    // with outputs H sqrt(1 - 1/g) from it: both margins of such gates are H sqrt(1 - 1/g) - H/g arccosh(sqrt(g)). Digits by calculation.
    [Theory]
    [InlineData(4, 11, 3.6216342, 5.9046452)]
    [InlineData(2, 11, 4.8475547, 2.9306199)]
    [InlineData(10, 11, 2.0002911, 8.4352252)]
    [InlineData(1.5, 11, 4.8288456, 1.5220074)]
    public void Tanh_inverter(double g, double h, double distance, double margin)
    {
        Assert.Equal(h * Math.Sqrt(1 - 1 / g) - distance, margin, 7);
        Assert.Equal(h / g * Math.Acosh(Math.Sqrt(g)), distance, 7);
        var levels = Levels(Curves.Of(Curves.Even(0, 24, 0.02), Curves.Tanh(g, h, 12)));
        Assert.Equal(12 - distance, levels.UnityGainLow.Value!.Value, 0.001);
        Assert.Equal(12 + distance, levels.UnityGainHigh.Value!.Value, 0.001);
        Assert.Equal(margin, levels.MarginLow.Value!.Value, 0.002);
        Assert.Equal(margin, levels.MarginHigh.Value!.Value, 0.002);
        Assert.Equal(12, levels.SwitchingDrive.Value!.Value, 0.0005);
        Assert.Equal(12, levels.SwitchingOutput.Value!.Value, 0.002);
        Assert.Equal(-g, levels.SwitchingGain.Value!.Value, 0.001 * g);
        Assert.Equal(12 + h * Math.Tanh(12 * g / h), levels.HighestOutput.Value!.Value, 1e-4);
        Assert.Equal(12 - h * Math.Tanh(12 * g / h), levels.LowestOutput.Value!.Value, 1e-4);
        Assert.Null(levels.FoldBackDepth.Value);
        Assert.StartsWith("none", levels.FoldBackDepth.AbsentBecause, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0.9)]
    [InlineData(0.5)]
    public void A_gain_that_never_passes_unity_has_no_unity_gain_points(double g)
    {
        var levels = Levels(Curves.Of(Curves.Even(0, 24, 0.1), Curves.Tanh(g, 11, 12)));
        Assert.Contains("never passes -1", levels.UnityGainLow.AbsentBecause, StringComparison.Ordinal);
        Assert.Contains("never passes -1", levels.UnityGainHigh.AbsentBecause, StringComparison.Ordinal);
        Assert.Equal(-g, levels.SwitchingGain.Value!.Value, 0.01);
    }

    [Fact]
    public void Three_straight_segments()
    {
        // VOH 22 up to VIL 8, slope -4, VOL 2 from VIH 13.
        var levels = Levels(Curves.Of(Curves.Even(0, 24, 0.1), x => Math.Clamp(22 - 4 * (x - 8), 2, 22)));
        // A corner between two steps: known no better than they lie.
        Assert.Equal(8, levels.UnityGainLow.Value!.Value, Math.Min(0.15, 2 * levels.UnityGainLow.Uncertainty!.Value));
        Assert.Equal(13, levels.UnityGainHigh.Value!.Value, Math.Min(0.15, 2 * levels.UnityGainHigh.Uncertainty!.Value));
        Assert.Equal(-4, levels.SwitchingGain.Value!.Value, 1e-6);
        Assert.Equal(22, levels.HighestOutput.Value!.Value, 1e-9);
        Assert.Equal(2, levels.LowestOutput.Value!.Value, 1e-9);
        // Anywhere on the straight part is as steep: the middle, and half the part over sqrt 3 (rectangular, GUM 4.3.7).
        Assert.Equal(10.5, levels.SwitchingDrive.Value!.Value, 0.15);
        Assert.Equal(2.5 / Math.Sqrt(3), levels.SwitchingDrive.Uncertainty!.Value, 0.15);
        Assert.Contains("the same within the noise", levels.SwitchingDrive.Mark, StringComparison.Ordinal);
    }

    /// <summary>Three-halves law of Child and Langmuir with amplification factor 20 and 1 mA/V^1.5 on a 24 V rail over 22 kilohm.</summary>
    private static double TriodeInverter(double grid)
    {
        double low = 0, high = 24;
        for (var i = 0; i < 200; i++)
        {
            var plate = (low + high) / 2;
            if (24 - 22_000 * 1e-3 * Math.Pow(Math.Max(0, grid + plate / 20), 1.5) > plate) low = plate;
            else high = plate;
        }
        return (low + high) / 2;
    }

    [Fact]
    public void Triode_of_the_three_halves_law()
    {
        Assert.Equal(22.829382, TriodeInverter(-1), 6);
        Assert.Equal(12.772405, TriodeInverter(0), 6);

        // Unity gain lies 1 mV above cut-off, where gm = 1/(RL(1 - 1/mu)): the steps there are fine enough to see it.
        double[] drive = [.. Curves.Even(-3, -1.21, 0.01), .. Curves.Even(-1.2005, -1.1975, 0.00005), .. Curves.Even(-1.19, 0, 0.01)];
        var levels = Levels(Curves.Of(drive, TriodeInverter));
        Assert.Equal(-1.19894682, levels.UnityGainLow.Value!.Value, 2e-5);
        Assert.Null(levels.UnityGainHigh.Value);
        Assert.Contains("no second unity-gain point within the drive range", levels.UnityGainHigh.AbsentBecause, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0.02)]
    [InlineData(0.1)]
    [InlineData(0.25)]
    public void Steps_too_wide_for_the_knee_show_in_the_uncertainty(double step)
    {
        var levels = Levels(Curves.Of(Curves.Even(-3.01, 0, step), TriodeInverter));
        var error = Math.Abs(levels.UnityGainLow.Value!.Value - -1.19894682);
        Assert.True(error <= 2 * levels.UnityGainLow.Uncertainty!.Value, $"{error} against {levels.UnityGainLow.Uncertainty}");
        Assert.True(levels.UnityGainLow.Uncertainty <= step);
    }

    [Fact]
    public void Cut_off_at_the_stated_current()
    {
        // 20 uA at 24 V - 0.2 V: (Vg + 23.56/20) = (0.02)^(2/3) with RL 22 kilohm, where the drop is 0.44 V.
        var expected = Math.Pow(0.02, 2.0 / 3) - (24 - 0.44) / 20;
        var curve = Curves.Of(Curves.Even(-3, 0, 0.05), TriodeInverter);
        curve = curve with { PlateCurrent = Array.ConvertAll(curve.Plate, v => (24 - v) / 22_000) };
        var figure = Levels(curve).CutOffDrive;
        Assert.Equal(expected, figure.Value!.Value, 0.01);
        Assert.True(Math.Abs(expected - figure.Value.Value) <= 2 * figure.Uncertainty!.Value);
        var stated = LevelFinder.Find(curve, Curves.Connection, new LevelOptions(CutOffPlateAmps: 100e-6), Curves.Known(Curves.Exact)).CutOffDrive;
        Assert.Equal(Math.Pow(0.1, 2.0 / 3) - (24 - 2.2) / 20, stated.Value!.Value, 0.01);
    }

    [Fact]
    public void Grid_current_onset_of_a_retarding_field()
    {
        // Ig = 20 uA exp((Vg + 0.4)/0.0905): thermal voltage at 1050 K, so that onset is at -0.4 V exactly; over the stopper, drive is Vg + 94 mV.
        var curve = Curves.Of(Curves.Even(-5, 0, 0.05), x => 12 - x, gridCurrent: x => 20e-6 * Math.Exp((x + 0.4) / 0.0905));
        var figure = Levels(curve).GridCurrentOnset;
        Assert.Equal(-0.4, figure.Value!.Value, 0.002);
    }
}
