using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Calibration.Fitting;

namespace SweepRig.Rigs.Tests.Calibration;

public sealed class ExpandedUncertaintyTests
{
    [Theory]
    [InlineData(0, 0, 1, 1.959964)] // normal
    [InlineData(1, 0, 0, 0.95)] // rectangular: 1.645 standard deviations
    [InlineData(0, 2, 0, 1.9)]
    [InlineData(1, 1, 0, 1.552786)] // triangular: 2(1 - √0.05)
    public void Pure_distributions_have_their_known_intervals(double a, double b, double normal, double halfWidth) =>
        Assert.Equal(halfWidth, ExpandedUncertainty.HalfWidth(a, b, normal), 2e-3 * halfWidth);

    [Theory]
    [InlineData(1, 0.3, 0.2)]
    [InlineData(1, 1, 1)]
    [InlineData(0.1, 0.2, 0.9)]
    [InlineData(2, 0.001, 0.05)]
    public void Drawn_errors_lie_within_the_interval_in_95_of_100_cases(double a, double b, double normal)
    {
        const int Draws = 200_000;
        var random = new Random(20260314);
        var half = ExpandedUncertainty.HalfWidth(a, b, normal);
        double Uniform(double width) => (2 * random.NextDouble() - 1) * width;
        double Gauss() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var within = Enumerable.Range(0, Draws).Count(_ => Math.Abs(Uniform(a) + Uniform(b) + normal * Gauss()) <= half);
        // Four standard deviations of a count of this size.
        Assert.InRange(within / (double)Draws, 0.95 - 0.002, 0.95 + 0.002);
    }

    [Fact]
    public void A_hundred_points_do_not_average_the_meters_gain_error_away()
    {
        var meter = Meters.Usual;
        VoltageCorrection Fit(int points) => CorrectionFit.Of([.. Enumerable.Range(0, points).Select(i => new ComparedPoint(30.0 * i / (points - 1), 0.01, 30.0 * i / (points - 1)))], meter).Correction;
        var (few, many) = (Fit(5), Fit(1_000));
        Assert.True(many.FitUncertaintyAt(15) < few.FitUncertaintyAt(15) / 10);
        var least = meter.GainLimit * 15 / Math.Sqrt(3);
        Assert.True(many.UncertaintyAt(15) >= least);
        Assert.True(ExpandedUncertainty.Of(many, 15) >= 0.95 * meter.GainLimit * 15);
    }

    [Fact]
    public void What_the_meter_did_to_two_channels_alike_falls_out_of_their_difference()
    {
        var meter = Meters.Usual;
        var points = Enumerable.Range(0, 6).Select(i => new ComparedPoint(2 + 7 * i, 1e-4, 2 + 7 * i)).ToArray();
        var correction = CorrectionFit.Of(points, meter).Correction;
        var calibration = new RigCalibration("c", "SIM-0001", [.. Enumerable.Repeat(correction, 5)], correction);
        var apart = Math.Sqrt(2) * correction.UncertaintyAt(28);
        Assert.True(calibration.DifferenceUncertainty(Domain.RigChannel.Plate, 28, Domain.RigChannel.Supply, 28) < apart / 5);
        Assert.True(calibration.DifferenceUncertainty(Domain.RigChannel.Plate, 5, Domain.RigChannel.Supply, 28) > meter.GainLimit * 23 / Math.Sqrt(3));
    }
}
