using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Laws;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Outside;

public class PublishedLawTests
{
    // Source: Child 1911, Phys. Rev. 32, 492; Langmuir 1913, Phys. Rev. 2, 450. 2.334e-6 A/V^1.5 is the value of the textbooks.
    [Fact]
    public void Child_and_Langmuirs_constant() => Assert.Equal(2.33395e-6, ThermionicLaws.ChildLangmuirConstant, 5e-12);

    // Worked from the law: a plane diode of 1 cm2 and 0.5 mm.
    [Theory]
    [InlineData(12, 38.808e-3)]
    [InlineData(24, 109.766e-3)]
    [InlineData(60, 433.889e-3)]
    public void A_plane_diode_follows_the_three_halves_law(double volts, double amps)
    {
        var perveance = ThermionicLaws.Perveance(1e-4, 0.5e-3);
        Assert.Equal(9.3358e-4, perveance, 1e-8);
        Assert.Equal(amps, perveance * Math.Pow(volts, 1.5), 1e-6);
    }

    // Source: Langmuir 1913. A sound cathode well above cut-off, well below its emission: the model's cathode current goes with the 3/2 power of the
    // composite voltage, whose offset is a constant of the tube.
    [Fact]
    public void The_model_has_slope_three_halves_where_space_charge_rules()
    {
        var p = ExampleTubes.Sound6AU6 with { Emission = 50, GridShare = 0, GridSpaceLimit = 1, CutoffSpread = 0 };
        var model = new TubeModel(p, new Volts(6.3));
        double At(double v) => model.Evaluate(-p.GridOffset, v * p.ScreenMu * (1 - 100 / p.PlateMu / v), 100).Cathode;
        Assert.Equal(Math.Pow(2, 1.5), At(6) / At(3), 0.01);
        Assert.Equal(p.Perveance * Math.Pow(6, 1.5), At(6), p.Perveance * Math.Pow(6, 1.5) * 0.005);
    }

    // Source: Dushman 1923, Phys. Rev. 21, 623; 120.173 A/(cm2 K2).
    [Fact]
    public void Richardsons_constant() => Assert.Equal(1.20173e6, ThermionicLaws.RichardsonConstant, 5.0);

    // Source: Richardson 1929 (Nobel lecture) for the law; 60.2 A/(cm2 K2) and 4.52 eV for tungsten are the usual table values (from memory). Worked from the law.
    [Theory]
    [InlineData(120.173, 1.0, 1000, 1096.55)]
    [InlineData(120.173, 1.0, 1050, 2100.86)]
    [InlineData(120.173, 1.0, 1100, 3810.45)]
    [InlineData(120.173, 4.5, 2500, 0.63692)]
    [InlineData(60.2, 4.52, 2500, 0.29078)]
    public void Emission_follows_Richardson(double constant, double work, double kelvin, double ampsPerSquareCentimetre) => Assert.Equal(
        1, ThermionicLaws.EmissionDensity(constant * 1e4, work, kelvin) / 1e4 / ampsPerSquareCentimetre, 2e-5);

    [Fact]
    public void The_models_emission_follows_Richardson_with_temperature()
    {
        var p = ExampleTubes.Weak6AU6;
        var ratio = TubeModel.AtTemperature(p, 1000).SaturationCurrent / TubeModel.AtTemperature(p, 1050).SaturationCurrent;
        var law = ThermionicLaws.EmissionDensity(1, p.WorkFunctionElectronVolts, 1000) / ThermionicLaws.EmissionDensity(1, p.WorkFunctionElectronVolts, 1050);
        Assert.Equal(law, ratio, 1e-12);
    }

    // Source: CODATA 2018, k/e.
    [Theory]
    [InlineData(1000, 86.173, 198.42)]
    [InlineData(1050, 90.482, 208.34)]
    [InlineData(1100, 94.791, 218.26)]
    public void Thermal_voltage(double kelvin, double millivolts, double millivoltsPerDecade)
    {
        Assert.Equal(millivolts, ThermionicLaws.ThermalVolts(kelvin) * 1e3, 5e-4);
        Assert.Equal(millivoltsPerDecade, ThermionicLaws.ThermalVolts(kelvin) * Math.Log(10) * 1e3, 5e-3);
    }

    // Maxwellian velocities: Spangenberg 1948, Vacuum Tubes (from memory). Leakage is taken off: a real one drowns the law within a volt.
    [Fact]
    public void Grid_current_below_the_onset_rises_251_times_for_half_a_volt_at_1050_K()
    {
        var model = new TubeModel(
            ExampleTubes.Sound6AU6 with { GridCathodeLeakSiemens = 0, GridScreenLeakSiemens = 0, GridPlateLeakSiemens = 0 }, new Volts(6.3));
        Assert.Equal(1050, model.TemperatureKelvin, 1e-9);
        foreach (var high in (double[])[-1.0, -1.5, -2.0, -2.5])
        {
            double before = model.Evaluate(high - 0.5, 24, 12).Grid, after = model.Evaluate(high, 24, 12).Grid;
            Assert.Equal(251.13, after / before, 0.02);
            Assert.Equal(1050.0, ThermionicLaws.RetardingFieldKelvin(high - 0.5, before, high, after), 0.05);
        }
    }

    [Fact]
    public void Two_points_of_the_retarding_field_law_return_the_temperature()
    {
        Assert.Equal(251.13, Math.Exp(0.5 / ThermionicLaws.ThermalVolts(1050)), 5e-3);
        Assert.Equal(1050.0, ThermionicLaws.RetardingFieldKelvin(-1.0, 1e-9, -0.7, 27.538e-9), 0.05);
    }

    // Source: Verma, Concepts of Physics, problem on the triode i = 41 (vp + 7 vg)^1.41 uA; the book rounds to 30 mA, 2.5 kohm, 2.8 mS, 7. Digits by calculation.
    [Fact]
    public void The_textbook_triode()
    {
        var law = new TriodeLaw(41e-6 * Math.Pow(7, 1.41), 7, 1.41);
        var found = SmallSignal.Of(law.Current, 250, -20);
        Assert.Equal(30.985e-3, law.Current(250, -20), 5e-7);
        Assert.Equal(2517.8, found.PlateResistance, 0.05);
        Assert.Equal(2.7802e-3, found.Transconductance, 5e-8);
        Assert.Equal(7, found.Mu, 1e-6);
    }

    // Source: Langmuir 1913 for the law, Spangenberg 1948 ch. 7 (from memory) for its use in triodes. Digits by calculation.
    [Fact]
    public void The_triode_law()
    {
        var law = new TriodeLaw(1.5e-3, 20);
        var found = SmallSignal.Of(law.Current, 24, 0);
        Assert.Equal(1.97180e-3, law.Current(24, 0), 5e-9);
        Assert.Equal(2.46475e-3, found.Transconductance, 5e-9);
        Assert.Equal(8114.41, found.PlateResistance, 0.005);
        Assert.Equal(20, found.Mu, 1e-6);
        Assert.Equal(-1.2, law.Cutoff(24), 1e-12);
    }

    // Source: Kimberly, Electrical Engineering, section 29.20: +2 V on the grid offset by 40 V on the plate is mu = 20.
    [Fact]
    public void Mu_is_the_plate_step_that_offsets_a_grid_step()
    {
        var law = new TriodeLaw(1.5e-3, 20);
        Assert.Equal(law.Current(200, -4), law.Current(160, -2), 1e-12);
    }

    [Fact]
    public void Small_signal_quantities_of_the_model_agree_with_differences()
    {
        var model = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        model.Evaluate(-1, 24, 24, out var d);
        var exact = SmallSignal.OfTriode(d);
        var byDifference = SmallSignal.Of((vp, vg) => { var i = model.Evaluate(vg, vp, vp); return i.Plate + i.Screen; }, 24, -1);
        Assert.Equal(byDifference.Transconductance, exact.Transconductance, exact.Transconductance * 1e-4);
        Assert.Equal(byDifference.PlateResistance, exact.PlateResistance, exact.PlateResistance * 1e-4);
    }
}
