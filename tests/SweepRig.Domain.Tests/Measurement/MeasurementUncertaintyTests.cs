using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tests.Rigs;
using SweepRig.Domain.Tubes;
using static SweepRig.Domain.Measurement.InputQuantity;

namespace SweepRig.Domain.Tests.Measurement;

public sealed class MeasurementUncertaintyTests
{
    private static readonly Connection Planned = new(ConnectionKind.Pentode, new(28), new(-14), new(6.3), new(10_000), new(100), new(4_700));

    private static readonly RigIdentity Rig = new(
        1, "test", "test", "SIM-0001", 1, Supplies.None, new(12, new(-16), new(32)), [.. RigChannels.All.Select(c => new ChannelScale(c, 12, 4, new(0), new(40.95)))],
        new(new(-14), new(26), new(0.008), new(0.03), new(0), new(40), 40), 300, 16, ResetReason.PowerOn);

    private static readonly MeasurementUncertainty Calibrated = MeasurementUncertainty.Of(Rig, Calibrations.Example, Planned);

    private static readonly MeasurementUncertainty Nominal = MeasurementUncertainty.Of(Rig, RigCalibration.Nominal(Rig), Planned);

    [Fact]
    public void Resistors_come_as_measured_or_else_as_planned_within_their_tolerance()
    {
        Assert.Equal(new(ResistorPlace.Plate, 10_013.5, 11.6, 0.002 * 10_013.5 / Math.Sqrt(3), true), Calibrated.Resistors[(int)ResistorPlace.Plate]);
        // No one measured the screen resistor: 1 %, rectangular.
        Assert.Equal(new(ResistorPlace.Screen, 100, 1 / Math.Sqrt(3), 0, false), Calibrated.Resistors[(int)ResistorPlace.Screen]);
        var other = MeasurementUncertainty.Of(Rig, Calibrations.Example, Planned with { GridStopper = new(47_000) });
        Assert.False(other.Resistors[(int)ResistorPlace.GridStopper].IsMeasured);
        Assert.True(Calibrated.Resistors[(int)ResistorPlace.GridStopper].SharedOhms <= Calibrated.Resistors[(int)ResistorPlace.GridStopper].UncertaintyOhms);
    }

    [Fact]
    public void A_code_of_16_bits_over_41_volts_has_its_resolution() => Assert.Equal(0.01 / 16 / Math.Sqrt(12), Calibrated.Voltages[(int)VoltagePlace.Screen]!.ResolutionVolts, 1e-12);

    [Fact]
    public void A_variance_of_one_voltage_is_that_of_its_correction()
    {
        foreach (var place in Enum.GetValues<VoltagePlace>())
        {
            Assert.Equal(place, Calibrated.Voltages[(int)place]!.Place);
            Assert.Equal(Calibrated.Voltages[(int)place]!.At(21), Calibrated.StandardUncertainty(Voltage(place, 21).Times(1)), 1e-12);
        }
    }

    [Fact]
    public void Difference_of_two_channels_is_that_of_the_calibration()
    {
        var terms = new[] { Voltage(VoltagePlace.Supply, 28).Times(1), Voltage(VoltagePlace.Plate, 5).Times(-1) };
        Assert.Equal(Calibrations.Example.DifferenceUncertainty(RigChannel.Plate, 5, RigChannel.Supply, 28), Calibrated.StandardUncertainty(terms), 1e-12);
    }

    [Fact]
    public void Nominal_current_by_hand()
    {
        // 28 V and 5 V read with u = 0.0082 V and 5.8 mV, each divider by itself; 10 kΩ of 1 %.
        double U2(double volts) => Math.Pow(0.0082 * volts, 2) + Math.Pow(0.0058, 2);
        var expected = Math.Sqrt((U2(28) + U2(5)) / 1e8 + Math.Pow(23.0 / 10_000 * 0.01, 2) / 3);
        Assert.Equal(expected, Nominal.CurrentUncertainty(MeasuredCurrent.Plate, 28, 5), 1e-12);
        Assert.True(Nominal.Calibration.IsNominal);
    }

    [Fact]
    public void Without_a_drop_the_resistor_says_nothing()
    {
        var terms = Calibrated.CurrentTerms(MeasuredCurrent.Grid, -3, -3);
        Assert.Equal(Calibrated.CurrentUncertainty(MeasuredCurrent.Grid, -3, -3), Calibrated.StandardUncertainty(terms.AsSpan(0, 2)), 1e-15);
        Assert.Equal(VoltagePlace.Drive, terms[0].Input.VoltageAt);
    }

    [Fact]
    public void A_channel_that_the_rig_does_not_have_has_no_figure()
    {
        var poor = MeasurementUncertainty.Of(Rig with { Channels = [Rig.Channels[0]] }, Calibrations.Example, Planned);
        Assert.True(double.IsNaN(poor.CurrentUncertainty(MeasuredCurrent.Plate, 28, 5)));
        Assert.True(double.IsFinite(poor.StandardUncertainty(Voltage(VoltagePlace.Plate, 5).Times(1))));
    }

    /// <summary>JCGM 101:2008: everything that is unknown is drawn from its distribution, and the figures scatter as the law of propagation says.</summary>
    [Fact]
    public void Drawn_errors_scatter_figures_as_stated()
    {
        const int Draws = 40_000;
        var random = new Random(20260314);
        double Rectangular(double half) => (2 * random.NextDouble() - 1) * half;
        var correction = Calibrations.Correction;
        double supply = 28, high = 27.5, low = 5;
        double[] sum = new double[4], squares = new double[4];
        for (var n = 0; n < Draws; n++)
        {
            var (gain, zero) = (Rectangular(correction.MeterGainLimit), Rectangular(correction.MeterZeroLimitVolts));
            var (plateError, supplyError) = (DrawnError(correction, random), DrawnError(correction, random));
            double Error(Func<double, double> fit, double volts) => fit(volts) + gain * volts + zero;
            var meter = Rectangular(0.002);
            var plate = 10_013.5 * (1 + meter);
            var screen = 100 * (1 + Rectangular(0.01));
            var current = (supply + Error(supplyError, supply) - low - Error(plateError, low)) / plate;
            double[] figures =
            [
                Error(plateError, high) - Error(plateError, low),
                current,
                current * (low + Error(plateError, low)),
                (supply + Error(supplyError, supply) - 27 - Error(plateError, 27)) / screen,
            ];
            for (var i = 0; i < figures.Length; i++) (sum[i], squares[i]) = (sum[i] + figures[i], squares[i] + figures[i] * figures[i]);
        }
        // All five channels of this calibration leave alike much unknown; the plate resistor here is known as its meter allows.
        var known = Calibrated with { Resistors = [Calibrated.Resistors[0] with { UncertaintyOhms = Calibrated.Resistors[0].SharedOhms }, Calibrated.Resistors[1], Calibrated.Resistors[2]] };
        known = known with { Voltages = [.. known.Voltages.Select(v => v! with { Correction = correction })] };
        var amps = (supply - low) / 10_013.5;
        var watts = known.CurrentTerms(MeasuredCurrent.Plate, supply, low).Select(t => t with { Sensitivity = low * t.Sensitivity }).Append(Voltage(VoltagePlace.Plate, low).Times(amps)).ToArray();
        double[] stated =
        [
            known.StandardUncertainty(Voltage(VoltagePlace.Plate, high).Times(1), Voltage(VoltagePlace.Plate, low).Times(-1)),
            known.CurrentUncertainty(MeasuredCurrent.Plate, supply, low),
            known.StandardUncertainty(watts),
            known.StandardUncertainty(Voltage(VoltagePlace.Supply, supply).Times(0.01), Voltage(VoltagePlace.Plate, 27).Times(-0.01), Resistor(ResistorPlace.Screen).Times(-1e-4)),
        ];
        for (var i = 0; i < stated.Length; i++)
            // The standard deviation of 40 000 draws is known to 1/√80 000; five times that.
            Assert.Equal(1, Math.Sqrt(squares[i] / Draws - Math.Pow(sum[i] / Draws, 2)) / stated[i], 0.018);
    }

    [Fact]
    public void What_one_meter_did_to_two_resistors_adds_up_in_the_sum_of_their_currents()
    {
        var both = Calibrated.CurrentTerms(MeasuredCurrent.Plate, 28, 5).Concat(Calibrated.CurrentTerms(MeasuredCurrent.Grid, 20, 5)).ToArray();
        var (plate, grid) = (Calibrated.CurrentUncertainty(MeasuredCurrent.Plate, 28, 5), Calibrated.CurrentUncertainty(MeasuredCurrent.Grid, 20, 5));
        Assert.True(Calibrated.StandardUncertainty(both) > 1.02 * Math.Sqrt(plate * plate + grid * grid));
        Assert.True(Calibrated.StandardUncertainty(both) <= plate + grid);
    }

    /// <summary>Error of a corrected voltage as a function of it, by parameters drawn with their covariance (Cholesky factor, JCGM 101:2008, C.5).</summary>
    private static Func<double, double> DrawnError(VoltageCorrection correction, Random random)
    {
        double Gauss() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var c = correction.Covariance;
        var l11 = Math.Sqrt(c.AtCentre);
        var (l21, l31) = (c.AtCentreSlope / l11, c.AtCentreCubic / l11);
        var l22 = Math.Sqrt(c.Slope - l21 * l21);
        var l32 = (c.SlopeCubic - l31 * l21) / l22;
        var l33 = Math.Sqrt(c.Cubic - l31 * l31 - l32 * l32);
        var (a, b, d) = (Gauss(), Gauss(), Gauss());
        var (at, slope, cubic) = (l11 * a, l21 * a + l22 * b, l31 * a + l32 * b + l33 * d);
        return volts =>
        {
            var x = correction.Invert(volts) - correction.CentreVolts;
            return at + slope * x + cubic * Math.Pow(x / correction.HalfSpanVolts, 3);
        };
    }
}
