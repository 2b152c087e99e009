using SweepRig.Analysis;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Tests.Cli.Rendering;

public sealed class LevelsTableTests
{
    private const string NoRise = "the output does not rise again";

    [Fact]
    public void Curves_stand_side_by_side_with_units_and_uncertainties()
    {
        var lines = LevelsTable.Lines([("pentode", Run(0.31, 2)), ("triode", Run(null, 2))], 110, default);

        Assert.Equal("""
            level                             pentode up    pentode down       triode up     triode down
            VOH, highest output        V  27.991 ± 0.009  27.991 ± 0.009  27.991 ± 0.009  27.991 ± 0.009
            VOL, lowest output         V   5.021 ± 0.011   5.021 ± 0.011   5.021 ± 0.011   5.021 ± 0.011
            switching drive            V    -1.60 ± 0.03    -1.60 ± 0.03    -1.60 ± 0.03    -1.60 ± 0.03
            output there               V    16.20 ± 0.05    16.20 ± 0.05    16.20 ± 0.05    16.20 ± 0.05
            gain there                       -31.4 ± 0.6     -31.4 ± 0.6     -31.4 ± 0.6     -31.4 ± 0.6
            VIL, lower unity gain      V    -2.30 ± 0.04    -2.30 ± 0.04    -2.30 ± 0.04    -2.30 ± 0.04
            VIH, upper unity gain      V     0.40 ± 0.05     0.40 ± 0.05     0.40 ± 0.05     0.40 ± 0.05
            cut-off drive (20 µA)      V        none [1]        none [1]        none [1]        none [1]
            grid current from (20 µA)  V  -0.310 ± 0.020  -0.310 ± 0.020  -0.310 ± 0.020  -0.310 ± 0.020
            fold-back depth            V   0.310 ± 0.014   0.310 ± 0.014        none [2]        none [2]
            drive at the minimum       V     6.20 ± 0.20     6.20 ± 0.20        none [2]        none [2]

            Pentode: up and down differ by at most 0.012 ± 0.004 V.
            Triode: up and down differ by at most 0.012 ± 0.004 V.
            [1] the plate current stays above 20 µA
            [2] the output does not rise again
            ± holds the true value with 95 % probability (expanded uncertainty, k = 2.0).
            """.ReplaceLineEndings("\n"), string.Join('\n', lines).TrimEnd());
    }

    [Fact]
    public void The_rest_of_the_levels_comes_on_request()
    {
        var few = string.Join('\n', LevelsTable.Lines([("", Run(0.31, 1))], 110, default));
        Assert.DoesNotContain("saturated plate resistance", few, StringComparison.Ordinal);
        var all = string.Join('\n', LevelsTable.Lines([("", Run(0.31, 1))], 110, default, all: true));
        foreach (var name in new[] { "saturated plate resistance", "input current at VOH", "cut-off drive (1 % of full)", "grid current from (1 µA)", "transition width", "fold-back slope", "margin low" })
            Assert.Contains(name, all, StringComparison.Ordinal);
    }

    [Fact]
    public void On_a_narrow_terminal_like_stands_against_like()
    {
        var lines = LevelsTable.Lines([("pentode", Run(0.31, 2)), ("triode", Run(null, 2))], 80, default);

        Assert.All(lines, line => Assert.True(line.Length <= 80, line));
        Assert.Equal(["level                             pentode up       triode up", "level                           pentode down     triode down"], lines.Where(l => l.StartsWith("level", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_remark_that_all_share_is_said_once()
    {
        var remark = "nominal calibration";
        var levels = Run(0.31, 1, remark);
        var text = string.Join('\n', LevelsTable.Lines([("", levels)], 110, default));
        Assert.Equal(1, text.Split(remark).Length - 1);
    }

    [Fact]
    public void A_long_family_is_cut_and_says_so()
    {
        var text = string.Join('\n', LevelsTable.Lines([("", Run(0.31, 15))], 110, default));
        Assert.Contains("3 more curves; --json has them all.", text, StringComparison.Ordinal);
    }

    private static RunLevelsView Run(double? foldBack, int curves, string? remark = null) => new(
        "019d", new("nominal", null, null, null, null, null, false), 20e-6, 20e-6, [.. Enumerable.Range(0, curves).Select(i => Curve(i, foldBack, remark))], Figure.Of(0.012, "V", 0.002),
        0.01, 1e-6, new(Figure.None("V", "a single repeat"), Figure.None("V", "a single repeat"), Figure.None("V", "a single repeat")), []);

    private static CurveLevelsView Curve(int pass, double? foldBack, string? remark)
    {
        // Given as the interval of 95 %, of which the standard uncertainty is half.
        Figure Volts(double value, double expanded) => Figure.Of(value, "V", expanded / 2, remark);
        return new(
            new PassView(pass, pass % 2 == 0 ? "up" : "down", 191, 0, null),
            Volts(27.9912, 0.0092), Volts(5.0213, 0.0115), Volts(-1.6, 0.03), Volts(16.2, 0.05), Figure.Of(-31.4, "1", 0.3, remark), Volts(-2.3, 0.04), Volts(0.4, 0.05),
            Figure.None("V", "the plate current stays above 20 µA"), Volts(-0.31, 0.02),
            foldBack is { } depth ? Volts(depth, 0.014) : Figure.None("V", NoRise), foldBack is null ? Figure.None("V", NoRise) : Volts(6.2, 0.2))
        {
            OutputAtUnityLow = Volts(27.5, 0.05), OutputAtUnityHigh = Volts(5.4, 0.05), TransitionWidth = Volts(2.7, 0.06), CutOffDriveOfFull = Volts(-2.4, 0.05),
            GridCurrentOnsetUpper = Volts(-0.21, 0.02), CathodeTemperature = Figure.None("K", "the steps are too coarse"), InputCurrentAtHigh = Figure.Of(0.0049, "A", 1e-5, remark), FoldBackSlope = Figure.Of(0.014, "1", 0.001, remark),
            SaturatedResistance = Figure.Of(2190, "Ω", 10, remark), MarginLow = Volts(-7.7, 0.07), MarginHigh = Volts(27.1, 0.07),
        };
    }
}
