using CsCheck;
using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Model;

public class TubeModelTests
{
    private static readonly Gen<(double Vg1, double Vg2, double Vp)> Anywhere =
        Gen.Select(Gen.Double[-1000, 1000], Gen.Double[-1000, 1000], Gen.Double[-1000, 1000]);

    [Fact]
    public void Everything_is_finite_as_far_as_a_thousand_volts() => Gen.Select(RandomTubes.Any, Gen.Double[0, 8], Anywhere).Sample(
        (tube, heater, at) =>
        {
            var i = new TubeModel(tube, new Volts(heater)).Evaluate(at.Vg1, at.Vg2, at.Vp, out var d);
            Assert.True(double.IsFinite(i.Grid) && double.IsFinite(i.Screen) && double.IsFinite(i.Plate), $"{at}: {i}");
            Assert.True(double.IsFinite(d.GridByGrid + d.GridByScreen + d.GridByPlate + d.ScreenByGrid + d.ScreenByScreen + d.ScreenByPlate
                + d.PlateByGrid + d.PlateByScreen + d.PlateByPlate), $"{at}: {d}");
        },
        iter: 5000);

    // Conservation by two paths: inside the tube all current is the emitted one, so that without leakage and gas the cathode current stays between 0 and
    // the smaller of space current and emission, both written out here from the formulas.
    [Fact]
    public void The_cathode_gives_no_more_than_space_charge_and_emission_allow() =>
        Gen.Select(RandomTubes.Any, Gen.Double[-12, 6], Gen.Double[0, 60], Gen.Double[0, 60]).Sample(
            (tube, vg1, vg2, vp) =>
            {
                var model = new TubeModel(
                    tube with { GridCathodeLeakSiemens = 0, GridScreenLeakSiemens = 0, GridPlateLeakSiemens = 0, PlateCathodeLeakSiemens = 0 }, new Volts(6.3));
                var i = model.Evaluate(vg1, vg2, vp);
                var width = Math.Sqrt(Math.Pow(1.5 * model.ThermalVolts, 2) + Math.Pow(tube.CutoffSpread * (vg2 + 0.7 * 1.5 * model.ThermalVolts), 2));
                var composite = vg1 + tube.GridOffset + vg2 / tube.ScreenMu + vp / tube.PlateMu;
                var most = tube.Perveance * Math.Pow(Math.Max(composite, 0) + width * Math.Log(2), 1.5);
                Assert.InRange(i.Cathode, -1e-18, Math.Min(most, model.SaturationCurrent) * (1 + 1e-9));
            },
            iter: 5000);

    [Fact]
    public void Many_points_agree_with_one_at_a_time_at_every_length()
    {
        var random = new Random(7);
        var model = new TubeModel(ExampleTubes.Weak6AU6, new Volts(5.7));
        for (var length = 0; length < 40; length++)
        {
            double[] vg1 = Fill(random, length, -12, 5), vg2 = Fill(random, length, 0, 60), vp = Fill(random, length, -1, 60);
            var columns = new TubeColumns(length + 2);
            model.EvaluateMany(vg1, vg2, vp, columns);
            for (var n = 0; n < length; n++)
            {
                var i = model.Evaluate(vg1[n], vg2[n], vp[n], out var d);
                Assert.Equal(i, new TubeCurrents(columns.Grid[n], columns.Screen[n], columns.Plate[n]));
                Assert.Equal(d, new TubeConductances(
                    columns.GridByGrid[n], columns.GridByScreen[n], columns.GridByPlate[n],
                    columns.ScreenByGrid[n], columns.ScreenByScreen[n], columns.ScreenByPlate[n],
                    columns.PlateByGrid[n], columns.PlateByScreen[n], columns.PlateByPlate[n]));
            }
            Assert.All(columns.Plate[length..], x => Assert.Equal(0, x));
        }
    }

    [Fact]
    public void Many_points_of_different_lengths_are_refused()
    {
        var model = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        Assert.Throws<ArgumentException>(() => model.EvaluateMany(new double[3], new double[4], new double[3], new TubeColumns(9)));
        Assert.Throws<ArgumentException>(() => model.EvaluateMany(new double[3], new double[3], new double[3], new TubeColumns(2)));
    }

    [Fact]
    public void Evaluation_allocates_nothing()
    {
        var model = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        var columns = new TubeColumns(10);
        double[] volts = [.. Enumerable.Range(0, 10).Select(n => (double)n)];
        model.EvaluateMany(volts, volts, volts, columns);
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var n = 0; n < 100; n++)
        {
            model.Evaluate(-n * 0.1, 24, 12, out _);
            model.EvaluateMany(volts, volts, volts, columns);
        }
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Fact]
    public void A_temperature_can_be_given_directly()
    {
        var tube = ExampleTubes.Sound6AU6;
        var byHeater = new TubeModel(tube, new Volts(5));
        var byTemperature = TubeModel.AtTemperature(tube, TubeModel.FinalKelvin(tube, new Volts(5)));
        Assert.Equal(byHeater.Evaluate(0, 24, 24), byTemperature.Evaluate(0, 24, 24));
    }

    [Fact]
    public void A_cold_cathode_gives_leakage_only()
    {
        var cold = new TubeModel(ExampleTubes.Sound6AU6, new Volts(0));
        Assert.Equal(TubeModel.AmbientKelvin, cold.TemperatureKelvin);
        var i = cold.Evaluate(0, 24, 24);
        Assert.InRange(i.Plate, 24 * (1e-9 + 1e-10) - 1e-13, 24 * (1e-9 + 1e-10) + 1e-11);
    }

    [Fact]
    public void A_warming_cathode_gives_ever_more_current()
    {
        var last = 0.0;
        for (var kelvin = 400; kelvin <= 1050; kelvin += 50)
        {
            var now = TubeModel.AtTemperature(ExampleTubes.Weak6AU6, kelvin).Evaluate(0, 24, 24).Cathode;
            Assert.True(now > last, $"{kelvin} K: {now} A after {last} A");
            last = now;
        }
    }

    [Theory]
    [InlineData(200)]
    [InlineData(4000)]
    [InlineData(double.NaN)]
    public void A_temperature_out_of_range_is_refused(double kelvin) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => TubeModel.AtTemperature(ExampleTubes.Sound6AU6, kelvin));

    [Fact]
    public void A_negative_heater_voltage_is_refused()
    {
        var fault = Assert.Throws<ArgumentOutOfRangeException>(() => new TubeModel(ExampleTubes.Sound6AU6, new Volts(-6.3)));
        Assert.Contains("allowed is 0 V or above", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void All_faults_of_a_parameter_set_are_named_at_once()
    {
        var tube = ExampleTubes.Sound6AU6 with { Perveance = double.NaN, ScreenMu = 0.5, GasRatio = 1 };
        Assert.Equal(["/perveance", "/screenMu", "/gasRatio"], tube.Faults().Select(f => f.Path));
        var fault = Assert.Throws<ArgumentException>(() => new TubeModel(tube, new Volts(6.3)));
        Assert.Contains("screenMu is 5e-1; allowed is 1e0 to 1e4", fault.Message, StringComparison.Ordinal);
        Assert.Contains("gasRatio", fault.Message, StringComparison.Ordinal);
    }

    private static double[] Fill(Random random, int length, double low, double high) =>
        [.. Enumerable.Range(0, length).Select(_ => low + (high - low) * random.NextDouble())];
}
