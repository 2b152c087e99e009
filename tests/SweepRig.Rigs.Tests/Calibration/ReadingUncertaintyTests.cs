using SweepRig.Domain;
using SweepRig.Domain.Measurement;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Rigs.Calibration;

namespace SweepRig.Rigs.Tests.Calibration;

/// <summary>What each reading of a curve carries, by hand.</summary>
public sealed class ReadingUncertaintyTests
{
    private static readonly Connection Planned = new(ConnectionKind.Pentode, new(28), new(-14), new(6.3), new(10_000), new(100), new(4_700));

    private static readonly RigIdentity Rig = new(
        1, "test", "test", "SIM-0001", 1, Supplies.None, new(12, new(-16), new(32)), [.. RigChannels.All.Select(c => new ChannelScale(c, 12, 4, new(0), new(40.95)))],
        new(new(-14), new(26), new(0.008), new(0.03), new(0), new(40), 40), 300, 16, ResetReason.PowerOn);

    private static readonly Calibrator Nominal = new(Rig, RigCalibration.Nominal(Rig), Planned);

    /// <summary>Steps of 10 mV: q/√12 of a stored sixteenth, and a spread of 4 steps over 16 conversions taken as rectangular (JCGM 100:2008, 4.3.7 and F.2.2.1).</summary>
    [Fact]
    public void Scatter_is_resolution_and_spread_of_the_average()
    {
        var expected = Math.Sqrt(Math.Pow(0.01 / 16, 2) / 12 + Math.Pow(0.04, 2) / 12 / 16);
        Assert.Equal(expected, Nominal.Scatter(RigChannel.Screen, 4, 16), 1e-12);
        Assert.Equal(Math.Sqrt(Math.Pow(0.01 / 16, 2) / 12 + 0.01 * 0.01 / 12), Nominal.Scatter(RigChannel.Plate, 0, 1), 1e-12);
    }

    [Fact]
    public void A_voltage_adds_its_calibration()
    {
        // Nominal: gain 0.82 %, offset 5.8 mV.
        var expected = Math.Sqrt(Math.Pow(0.0082 * 20, 2) + Math.Pow(0.0058, 2) + 0.001 * 0.001);
        Assert.Equal(expected, Nominal.VoltageUncertainty(VoltagePlace.Plate, 20, 0.001), 1e-12);
        Assert.Equal(0.0058, Nominal.VoltageUncertainty(VoltagePlace.Drive, 0, 0), 1e-12);
    }

    [Fact]
    public void A_current_has_two_readings_two_calibrations_and_its_resistor()
    {
        double U2(double volts) => Math.Pow(0.0082 * volts, 2) + Math.Pow(0.0058, 2);
        var expected = Math.Sqrt((U2(28) + U2(5) + 0.001 * 0.001 + 0.002 * 0.002) / 1e8 + Math.Pow(23.0 / 10_000 * 0.01, 2) / 3);
        Assert.Equal(expected, Nominal.CurrentUncertainty(MeasuredCurrent.Plate, 28, 5, 0.001, 0.002), 1e-12);
    }

    [Fact]
    public void A_common_gain_error_leaves_the_difference_of_like_voltages_alone()
    {
        // One meter of 1 % behind both channels: at 28 V against 28 V its gain says nothing of the current, and at 28 V against 8 V all of it.
        var meter = new VoltageCorrection(0, 1, 0, 0, 1, new(0, 0, 0, 0, 0, 0), 0.01, 0);
        var calibrated = new Calibrator(Rig, new RigCalibration("c", "SIM-0001", [.. RigChannels.All.Select(_ => meter)], meter), Planned);
        Assert.Equal(0, calibrated.CurrentUncertainty(MeasuredCurrent.Plate, 28, 28, 0, 0), 1e-15);
        var expected = Math.Sqrt(2 * Math.Pow(0.01 * 20 / 10_000, 2) / 3);
        Assert.Equal(expected, calibrated.CurrentUncertainty(MeasuredCurrent.Plate, 28, 8, 0, 0), 1e-12);
    }

    [Fact]
    public void Every_column_of_a_curve_has_one_and_a_missing_point_none()
    {
        static ushort[] Codes(int code) => [(ushort)(code * 16), (ushort)(code * 16)];
        var plan = new SweepPlan("test", new(-4), new(4), 3, SweepDirection.Up, 1_000, new Averaging.Count(16), null, 1, null, Planned);
        var header = new RunHeader(
            "r", DateTimeOffset.UnixEpoch, new Tube("SKUA-014", "6BH6", "Skua"), 0, plan, [new(0, PassDirection.Up, 3, 0, null)], RigCalibration.Nominal(Rig), Rig, "test", null);
        var block = new SampleBlock
        {
            Pass = 0, FrameIndex = 0, PointIndex = [0, 2], SampledAtTicks = [1, 2], DriveCode = [1000, 1100], Flags = [SampleFlags.Settled, SampleFlags.Settled],
            AveragedCount = [16, 16], Spread = [4, 4], Codes = [Codes(500), Codes(0), Codes(2790), Codes(2800), Codes(0)],
        };
        var curve = CurveBuilder.Build(header, [block])[0];
        double[][] columns =
        [
            curve.DriveUncertainty, curve.GridUncertainty, curve.PlateUncertainty, curve.ScreenUncertainty, curve.SupplyUncertainty,
            curve.GridCurrentUncertainty, curve.ScreenCurrentUncertainty, curve.PlateCurrentUncertainty,
        ];
        Assert.All(columns, column =>
        {
            Assert.True(column[0] > 0 && column[2] > 0);
            Assert.True(double.IsNaN(column[1]));
        });
        var scatter = Nominal.Scatter(RigChannel.Plate, 4, 16);
        Assert.Equal(Nominal.CurrentUncertainty(MeasuredCurrent.Plate, 28, 5, scatter, scatter), curve.PlateCurrentUncertainty[0], 1e-12);
    }
}
