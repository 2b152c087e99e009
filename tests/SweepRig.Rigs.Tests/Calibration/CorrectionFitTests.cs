using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Calibration.Fitting;

namespace SweepRig.Rigs.Tests.Calibration;

public sealed class CorrectionFitTests
{
    private static readonly double[] Places = [2, 8, 15, 22, 29, 38];

    [Fact]
    public void A_false_gain_and_offset_are_found_again()
    {
        var fit = Fit(x => 0.03 + 1.004 * x);
        Assert.False(fit.HasCubicTerm);
        Assert.Equal(1.004, fit.Correction.Gain, 9);
        Assert.Equal(0.03, fit.Correction.OffsetVolts, 9);
        Assert.Equal(new CalibratedRange(2, 38), fit.Correction.Range);
        Assert.All(fit.Residuals, r => Assert.Equal(0, r, 9));
    }

    [Fact]
    public void A_bend_is_taken_up_and_only_then()
    {
        double Bent(double x) => 0.03 + 1.004 * x + 0.08 * Math.Pow((x - 20) / 18, 3);
        var straight = Fit(x => 0.03 + 1.004 * x, scatter: 1e-3);
        var bent = Fit(Bent, scatter: 1e-3);
        Assert.False(straight.HasCubicTerm);
        Assert.True(straight.FRatio < straight.FLimit);
        Assert.True(bent.HasCubicTerm);
        Assert.True(bent.FRatio > bent.FLimit);
        for (var x = 3.0; x < 38; x += 5)
        {
            Assert.Equal(Bent(x), bent.Correction.Apply(x), 4 * bent.Correction.FitUncertaintyAt(Bent(x)) + 1e-6);
            Assert.Equal(x, bent.Correction.Invert(bent.Correction.Apply(x)), 9);
        }
    }

    [Fact]
    public void A_cubic_term_that_is_not_there_is_taken_up_as_rarely_as_stated()
    {
        const int Trials = 4_000;
        var random = new Random(7);
        double Gauss() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var wrong = Enumerable.Range(0, Trials).Count(_ =>
            CorrectionFit.Of([.. Places.Select(x => new ComparedPoint(x, 1e-3, x + 1e-3 * Gauss()))], Meters.Usual).HasCubicTerm);
        // 1 % of the trials, four standard deviations either way.
        Assert.InRange(wrong, 40 - 26, 40 + 26);
    }

    [Fact]
    public void Points_that_scatter_more_than_stated_widen_the_uncertainty()
    {
        double[] thrown = [0.02, -0.02, 0.02, -0.02, 0.02, -0.02];
        var wild = CorrectionFit.Of([.. Places.Select((x, i) => new ComparedPoint(x, 1e-3, x + thrown[i]))], Meters.Usual);
        var calm = Fit(x => x);
        Assert.True(wild.Scale > 100);
        Assert.Equal(Math.Sqrt(wild.Scale) * calm.Correction.FitUncertaintyAt(20), wild.Correction.FitUncertaintyAt(20), 3e-4);
        Assert.InRange(wild.Correction.Quality!.Value.ResidualVolts, 0.015, 0.03);
    }

    [Fact]
    public void Nominal_values_and_a_straight_line_answer_as_gain_and_offset_do()
    {
        var line = new VoltageCorrection(1.01, -0.2, 0.001, 0.002);
        Assert.Equal(1.01 * 12 - 0.2, line.Apply(12), 12);
        Assert.Equal(-0.2, line.OffsetVolts, 12);
        Assert.Equal(0.001, line.GainUncertainty, 12);
        Assert.Equal(0.002, line.OffsetUncertaintyVolts, 9);
        Assert.Equal(Math.Sqrt(Math.Pow(0.0082 * 10, 2) + Math.Pow(0.0058, 2)), VoltageCorrection.Nominal.UncertaintyAt(10), 12);
        Assert.False(line.Extrapolates(1000));
    }

    [Theory]
    [InlineData(10, false)]
    [InlineData(38.5, false)]
    [InlineData(39.5, true)]
    [InlineData(0.5, true)]
    public void Beyond_the_compared_points_a_voltage_leans_on_extrapolation(double volts, bool extrapolates) =>
        Assert.Equal(extrapolates, Fit(x => x).Correction.Extrapolates(volts));

    [Fact]
    public void Too_few_points_are_refused() =>
        Assert.Throws<ArgumentException>(() => CorrectionFit.Of([new(1, 0, 1), new(2, 0, 2)], Meters.Usual));

    private static FittedCorrection Fit(Func<double, double> truth, double scatter = 0)
    {
        // Even about the middle, so that an odd term finds nothing in it.
        double[] signs = [1, -1, 0.5, 0.5, -1, 1];
        return CorrectionFit.Of([.. Places.Select((x, i) => new ComparedPoint(x, 1e-3, truth(x) + scatter * signs[i]))], Meters.Usual);
    }
}
