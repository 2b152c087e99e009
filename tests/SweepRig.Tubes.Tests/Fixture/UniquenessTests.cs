using CsCheck;
using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Fixture;

/// <summary>
/// The property on which the solver's convergence rests: with resistors up to 1 Mohm and no gas every principal minor of J = 1 + R dI/dV is above 0.
/// A map with such a Jacobian on a box takes each value once (Gale and Nikaido 1965, Math. Annalen 159, 81, from memory).
/// </summary>
public class UniquenessTests
{
    private static readonly Gen<double> Ohms = Gen.Double[0, 6].Select(x => Math.Pow(10, x));

    private static readonly Gen<(TubeParameters Tube, double Vg1, double Vg2, double Vp, double Rg, double Rs, double Rp)> Points =
        Gen.Select(RandomTubes.Any, Gen.Double[-60, 60], Gen.Double[-5, 60], Gen.Double[-5, 60], Ohms, Ohms, Ohms);

    [Fact]
    public void Principal_minors_of_the_pentode_fixture_are_positive() => Points.Sample(
        point =>
        {
            Derivatives(point.Tube, point.Vg1, point.Vg2, point.Vp, out var d);
            double rg = point.Rg, rs = point.Rs, rp = point.Rp;
            double[,] j =
            {
                { 1 + rg * d.GridByGrid, rg * d.GridByScreen, rg * d.GridByPlate },
                { rs * d.ScreenByGrid, 1 + rs * d.ScreenByScreen, rs * d.ScreenByPlate },
                { rp * d.PlateByGrid, rp * d.PlateByScreen, 1 + rp * d.PlateByPlate },
            };
            for (var n = 0; n < 3; n++) Assert.True(j[n, n] > 0, $"element {n}: {j[n, n]:R}");
            Assert.True(Pair(j, 0, 1) > 0, $"grid and screen: {Pair(j, 0, 1):R}");
            Assert.True(Pair(j, 0, 2) > 0, $"grid and plate: {Pair(j, 0, 2):R}");
            Assert.True(Pair(j, 1, 2) > 0, $"screen and plate: {Pair(j, 1, 2):R}");
            var whole = j[0, 0] * Pair(j, 1, 2)
                - j[0, 1] * (j[1, 0] * j[2, 2] - j[1, 2] * j[2, 0])
                + j[0, 2] * (j[1, 0] * j[2, 1] - j[1, 1] * j[2, 0]);
            Assert.True(whole > 0, $"whole: {whole:R}");
        },
        iter: 20000);

    [Fact]
    public void Principal_minors_of_the_triode_fixture_are_positive() => Points.Sample(
        point =>
        {
            Derivatives(point.Tube, point.Vg1, point.Vp, point.Vp, out var d);
            double a = 1 + point.Rg * d.GridByGrid, b = point.Rg * (d.GridByScreen + d.GridByPlate);
            double c = point.Rp * (d.ScreenByGrid + d.PlateByGrid);
            var e = 1 + point.Rp * (d.ScreenByScreen + d.ScreenByPlate + d.PlateByScreen + d.PlateByPlate);
            Assert.True(a > 0 && e > 0 && a * e - b * c > 0, $"{a:R} {e:R} {a * e - b * c:R}");
        },
        iter: 20000);

    private static void Derivatives(TubeParameters tube, double vg1, double vg2, double vp, out TubeConductances d) =>
        new TubeModel(tube with { GasRatio = 0 }, new Volts(6.3)).Evaluate(vg1, vg2, vp, out d);

    private static double Pair(double[,] j, int x, int y) => j[x, x] * j[y, y] - j[x, y] * j[y, x];
}
