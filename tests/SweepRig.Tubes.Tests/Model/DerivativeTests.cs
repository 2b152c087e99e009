using CsCheck;
using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Model;

public class DerivativeTests
{
    private static readonly Gen<(TubeParameters Tube, double Heater, double Vg1, double Vg2, double Vp)> Points = Gen.Select(
        RandomTubes.Any, Gen.Double[3.5, 7], Gen.Double[-12, 5], Gen.Double[-2, 60], Gen.Double[-2, 60]);

    // Central differences at two widths, extrapolated (Richardson 1911, from memory): the error goes with the fourth power of the width.
    [Fact]
    public void Derivatives_agree_with_differences_at_random_points() => Points.Sample(
        point =>
        {
            var model = new TubeModel(point.Tube, new Volts(point.Heater));
            var currents = model.Evaluate(point.Vg1, point.Vg2, point.Vp, out var d);
            // Differences see rounding of the currents divided by the width; derivatives are judged against that and against their own scale.
            var scale = Math.Abs(currents.Grid) + Math.Abs(currents.Screen) + Math.Abs(currents.Plate);
            Compare(model, point.Vg1, point.Vg2, point.Vp, 0, (d.GridByGrid, d.ScreenByGrid, d.PlateByGrid), scale);
            Compare(model, point.Vg1, point.Vg2, point.Vp, 1, (d.GridByScreen, d.ScreenByScreen, d.PlateByScreen), scale);
            Compare(model, point.Vg1, point.Vg2, point.Vp, 2, (d.GridByPlate, d.ScreenByPlate, d.PlateByPlate), scale);
        },
        iter: 5000);

    private static void Compare(TubeModel model, double vg1, double vg2, double vp, int electrode, (double G, double S, double P) found, double scale)
    {
        const double width = 2e-3;
        var coarse = Difference(width);
        var fine = Difference(width / 2);
        Near((4 * fine.Grid - coarse.Grid) / 3, found.G);
        Near((4 * fine.Screen - coarse.Screen) / 3, found.S);
        Near((4 * fine.Plate - coarse.Plate) / 3, found.P);

        TubeCurrents Difference(double h)
        {
            var up = At(h);
            var down = At(-h);
            return new((up.Grid - down.Grid) / (2 * h), (up.Screen - down.Screen) / (2 * h), (up.Plate - down.Plate) / (2 * h));
        }

        TubeCurrents At(double h) => model.Evaluate(
            electrode == 0 ? vg1 + h : vg1, electrode == 1 ? vg2 + h : vg2, electrode == 2 ? vp + h : vp);

        void Near(double expected, double value) => Assert.True(
            Math.Abs(expected - value) <= 2e-7 * (Math.Abs(expected) + scale / model.ThermalVolts * 1e-1) + 1e-17,
            $"electrode {electrode} at {vg1:R} {vg2:R} {vp:R}: difference {expected:R} S, analytic {value:R} S");
    }
}
