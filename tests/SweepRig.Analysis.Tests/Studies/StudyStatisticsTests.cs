using SweepRig.Analysis.Studies;
using SweepRig.Domain.Runs;

namespace SweepRig.Analysis.Tests.Studies;

public sealed class StudyStatisticsTests
{
    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4, upper critical values of chi-squared, 2 degrees of freedom.
    [Theory]
    [InlineData(0.10, 4.605)]
    [InlineData(0.05, 5.991)]
    [InlineData(0.01, 9.210)]
    [InlineData(0.001, 13.816)]
    public void Chi_squared_of_two_degrees_of_freedom_is_that_of_the_handbook(double chance, double value) =>
        Assert.Equal(value, RepeatBaseline.ChiSquaredQuantile(chance), 0.0006);

    // The same, 1.3.6.7.3, upper critical values of F at 5 % and 1 %, numerator 2.
    [Theory]
    [InlineData(0.05, 4, 6.944)]
    [InlineData(0.05, 10, 4.103)]
    [InlineData(0.01, 4, 18.000)]
    [InlineData(0.01, 10, 7.559)]
    public void Fishers_F_is_that_of_the_handbook(double chance, int freedom, double value) => Assert.Equal(value, RepeatBaseline.FisherQuantile(chance, freedom), 0.0006);

    [Fact]
    public void A_shift_and_a_change_of_the_current_are_told_apart()
    {
        var baseline = RepeatBaseline.Of([.. Enumerable.Range(0, 6).Select(k => Sweep(k, 0, 1))], 1e-3)!;
        var check = baseline.Check(Sweep(9, -0.015, 1.03))!;
        Assert.False(check.Repeats);
        Assert.InRange(check.Shift.Value!.Value, -0.017, -0.013);
        Assert.InRange(check.Scale.Value!.Value, 2.6, 3.4);
        Assert.True(baseline.Check(Sweep(10, 0, 1))!.Repeats);
    }

    // A shift that is not small is followed along the curve: the tube of the baseline, moved.
    [Theory]
    [InlineData(-0.2, 0.85)]
    [InlineData(0.1, 1)]
    public void A_large_shift_is_found_as_well(double shift, double scale)
    {
        var check = RepeatBaseline.Of([.. Enumerable.Range(0, 6).Select(k => Sweep(k, 0, 1))], 1e-3)!.Check(Sweep(9, shift, scale))!;
        Assert.InRange(check.Shift.Value!.Value, shift - 0.003, shift + 0.003);
        Assert.InRange(check.Scale.Value!.Value / 100 + 1, scale - 0.01, scale + 0.01);
        Assert.False(check.Repeats);
    }

    [Fact]
    public void What_is_neither_shift_nor_change_fails_by_its_shape()
    {
        var baseline = RepeatBaseline.Of([.. Enumerable.Range(0, 6).Select(k => Sweep(k, 0, 1))], 1e-3)!;
        var bent = Sweep(9, 0, 1);
        for (var i = 0; i < bent.Count; i++) bent.Plate[i] += i % 2 == 0 ? 0.02 : -0.02;
        var check = baseline.Check(bent)!;
        Assert.InRange(check.Chance, 0.01, 1);
        Assert.True(check.ShapeChance < 1e-6);
        Assert.False(check.Repeats);
    }

    [Fact]
    public void Readings_that_are_missing_are_left_out_and_too_many_leave_nothing()
    {
        var baseline = RepeatBaseline.Of([.. Enumerable.Range(0, 6).Select(k => Sweep(k, 0, 1))], 1e-3)!;
        var some = Sweep(9, 0, 1);
        some.Plate[7] = double.NaN;
        some.Flags[20] = SampleFlags.Clipped;
        some.Plate[20] = 0;
        Assert.True(baseline.Check(some)!.Repeats);
        Array.Fill(some.Plate, double.NaN, 0, 30);
        Assert.Null(baseline.Check(some));
    }

    [Fact]
    public void A_tube_that_wanders_is_believed_to()
    {
        var still = RepeatBaseline.Of([.. Enumerable.Range(0, 6).Select(k => Sweep(k, 0, 1))], 1e-3)!;
        var wandering = RepeatBaseline.Of([.. Enumerable.Range(0, 6).Select(k => Sweep(k, 0.01 * (k - 2.5), 1))], 1e-3)!;
        Assert.True(still.ShiftDeviation < 0.5e-3);
        Assert.InRange(wandering.ShiftDeviation, 0.017, 0.020);
        Assert.True(wandering.SmallestShift > 10 * still.SmallestShift);
    }

    // A line that is known; t of the handbook.
    [Fact]
    public void A_line_in_time_is_found_with_Students_factor()
    {
        double[] hours = [0, 1, 2, 3, 4, 5];
        double[] noise = [0.05, -0.1, 0.05, 0.05, -0.1, 0.05];
        var rate = DriftRate.Of(hours, [.. hours.Select((h, i) => Figure.Of(5 - 0.5 * h + noise[i], "V", 0.15))], "V");
        Assert.Equal("V/h", rate.Unit);
        Assert.InRange(rate.Value!.Value, -0.52, -0.48);
        // Sum of squares about the mean of the hours is 17.5; t of 4 degrees of freedom at 97.5 % is 2.776 (NIST e-Handbook 1.3.6.7.2).
        Assert.Equal(0.15 / Math.Sqrt(17.5), rate.Uncertainty!.Value, 0.004);
        Assert.Equal(2.776, rate.CoverageFactor!.Value, 0.001);
        Assert.Null(DriftRate.Of([0, 1, 2], [Figure.Of(1, "V", 1), Figure.Of(1, "V", 1), Figure.Of(1, "V", 1)], "V").Value);
    }

    [Theory]
    [InlineData(4)]
    [InlineData(8)]
    public void An_exponential_rise_reaches_its_parts_when_it_must(double tau)
    {
        const int points = 4_000;
        var curve = Watched(points, 15_000, t => 2e-3 * (1 - Math.Exp(-t / tau)));
        var times = WarmUpTimes.Of(curve);
        // 1 - exp(-t/tau) = part, and the first sample lies so long after the switching.
        foreach (var (part, found) in new[] { (0.5, times.ToHalf), (0.9, times.ToMost), (0.99, times.ToAll) })
        {
            var truth = -tau * Math.Log(1 - part) + WarmUpTimes.LeadSeconds;
            Assert.True(Math.Abs(found.Value!.Value - truth) <= 3 * found.Uncertainty!.Value + 0.05, FormattableString.Invariant($"{part}: {found.Value} for {truth} +- {found.Uncertainty}"));
        }
        Assert.True(times.CameToRest);
    }

    [Fact]
    public void A_tube_that_was_warm_or_has_no_current_gets_no_times()
    {
        Assert.Contains("not cold", WarmUpTimes.Of(Watched(500, 15_000, _ => 2e-3)).ToHalf.AbsentBecause, StringComparison.Ordinal);
        Assert.Contains("hardly any current", WarmUpTimes.Of(Watched(500, 15_000, _ => 1e-6)).ToAll.AbsentBecause, StringComparison.Ordinal);
        Assert.False(WarmUpTimes.Of(Watched(500, 15_000, t => 1e-3 * t)).CameToRest);
    }

    private static Curve Watched(int points, int microseconds, Func<double, double> amps)
    {
        var curve = Empty(points);
        var random = new Random(5);
        for (var i = 0; i < points; i++)
        {
            curve.SampledAtTicks[i] = 1_000_000 + (long)i * microseconds;
            curve.PlateCurrent[i] = amps(i * microseconds * 1e-6) + 1e-6 * Normal(random);
        }
        return curve;
    }

    /// <summary>A transfer curve of a made-up tube, moved along the drive and scaled in its current, with noise of 1 mV and hum of 0.5 mV along the drive.</summary>
    private static Curve Sweep(int seed, double shift, double scale)
    {
        var random = new Random(1000 + seed);
        var curve = Empty(41);
        for (var i = 0; i < curve.Count; i++)
        {
            curve.Drive[i] = -4 + 0.1 * i;
            curve.Supply[i] = 28 + 0.2e-3 * Normal(random);
            var grid = curve.Drive[i] + shift + 0.5e-3 * Normal(random);
            curve.Plate[i] = curve.Supply[i] - scale * 18 / (1 + Math.Exp(-(grid + 1.5) / 0.4)) + 1e-3 * Normal(random);
        }
        return curve;
    }

    private static Curve Empty(int points)
    {
        double[] None() => Enumerable.Repeat(double.NaN, points).ToArray();
        return new()
        {
            Pass = new(0, PassDirection.Up, points, 0, null), Drive = new double[points], Grid = None(), Plate = None(), Screen = None(), Supply = None(), GridCurrent = None(),
            ScreenCurrent = None(), PlateCurrent = None(), PlateUncertainty = None(), Flags = new SampleFlags[points], SampledAtTicks = new long[points],
        };
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
