using SweepRig.Domain.Measurement;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tests.Rigs;

namespace SweepRig.Domain.Tests.Measurement;

public sealed class VoltageUncertaintyTests
{
    /// <summary>JCGM 100:2008, H.3: calibration line of a thermometer about 20 °C, y1 = -0.1712(29) °C, y2 = 0.00218(67), r = -0.930; degrees stand for volts.</summary>
    private static readonly VoltageCorrection Thermometer = new(-0.1712, 0.00218, 0, 20, 15, new(0.0029 * 0.0029, -0.930 * 0.0029 * 0.00067, 0.00067 * 0.00067, 0, 0, 0), 0, 0);

    [Fact]
    public void The_published_line_has_its_published_uncertainty_at_30_degrees()
    {
        // H.3.4: b(30 °C) = -0.1494 °C, u = 0.0041 °C.
        Assert.Equal(-0.1494, Thermometer.Apply(30), 5e-5);
        Assert.Equal(0.0041, Thermometer.FitUncertaintyAt(Thermometer.Apply(30)), 5e-5);
        var line = new VoltageUncertainty(VoltagePlace.Plate, Thermometer, 0).LineAt(-0.1494);
        Assert.Equal(0.0041, Math.Sqrt(line.VarianceAt(30)), 5e-5);
        Assert.Equal(0.00218, line.Gain);
        Assert.Equal(-0.1712 - 20 * 0.00218, line.OffsetVolts, 1e-12);
        Assert.Equal(0.00067, Math.Sqrt(line.GainVariance), 1e-12);
        // Carried to 0 °C by hand: cov(y1 - 20 y2, y2) = -0.930 · 0.0029 · 0.00067 - 20 · 0.00067².
        Assert.Equal(-1.80699e-6 - 8.978e-6, line.GainOffsetCovariance, 1e-10);
    }

    [Theory]
    [InlineData(-12)]
    [InlineData(0)]
    [InlineData(5.02)]
    [InlineData(28)]
    public void Gain_and_offset_give_the_uncertainty_of_every_voltage_they_were_taken_at(double volts)
    {
        // With a cubic term and a meter.
        var place = new VoltageUncertainty(VoltagePlace.Plate, Calibrations.Correction, 0);
        var line = place.LineAt(volts);
        var nominal = Calibrations.Correction.Invert(volts);
        Assert.Equal(volts, line.Gain * nominal + line.OffsetVolts, 1e-9);
        Assert.Equal(place.At(volts), Math.Sqrt(line.VarianceAt(nominal)), 1e-12);
        const double Step = 1e-4;
        Assert.Equal((Calibrations.Correction.Apply(nominal + Step) - Calibrations.Correction.Apply(nominal - Step)) / (2 * Step), line.Gain, 1e-9);
    }

    [Fact]
    public void Two_voltages_of_one_place_are_as_correlated_as_their_distance_allows()
    {
        var correction = Calibrations.Correction;
        Assert.Equal(Math.Pow(correction.FitUncertaintyAt(20), 2), correction.FitCovariance(20, 20), 1e-15);
        Assert.Equal(correction.FitCovariance(3, 27), correction.FitCovariance(27, 3), 1e-18);
        var r = correction.FitCovariance(-14, 38) / (correction.FitUncertaintyAt(-14) * correction.FitUncertaintyAt(38));
        Assert.InRange(r, -1, 0.99);
    }
}
