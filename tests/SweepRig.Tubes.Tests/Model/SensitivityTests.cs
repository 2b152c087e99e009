using CsCheck;
using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Model;

public class SensitivityTests
{
    private static readonly Gen<(TubeParameters Tube, double Vg1, double Vg2, double Vp)> Points = Gen.Select(
        RandomTubes.Any, Gen.Double[-6, 5], Gen.Double[0.5, 60], Gen.Double[0.5, 60]);

    // Central differences at two widths, extrapolated (Richardson 1911, from memory).
    [Fact]
    public void Derivatives_by_the_constants_agree_with_differences_at_random_points() => Points.Sample(
        point =>
        {
            var tube = point.Tube with { GasRatio = Math.Max(1e-4, point.Tube.GasRatio) };
            var coordinates = TubeCoordinates.All.Select(p => TubeCoordinates.Coordinate(tube, p)).ToArray();
            var columns = new TubeColumns(1);
            var found = new TubeSensitivities(1);
            new TubeModel(tube, new Volts(6)).EvaluateWithSensitivities([point.Vg1], [point.Vg2], [point.Vp], columns, found);
            var plain = new TubeModel(tube, new Volts(6)).Evaluate(point.Vg1, point.Vg2, point.Vp);
            Assert.Equal(plain, new TubeCurrents(columns.Grid[0], columns.Screen[0], columns.Plate[0]));
            var scale = Math.Abs(plain.Grid) + Math.Abs(plain.Screen) + Math.Abs(plain.Plate);
            foreach (var parameter in TubeCoordinates.All)
            {
                // A leakage is small in its unit; its effect is linear, and any width does.
                var width = parameter == TubeParameter.GridCathodeLeakSiemens ? 1e-10 : parameter == TubeParameter.GasRatio ? 1e-5 : 1e-3;
                var coarse = Difference(width);
                var fine = Difference(width / 2);
                var unit = parameter == TubeParameter.GridCathodeLeakSiemens ? 10 : scale;
                Near((4 * fine.Grid - coarse.Grid) / 3, found.Grid[(int)parameter][0]);
                Near((4 * fine.Screen - coarse.Screen) / 3, found.Screen[(int)parameter][0]);
                Near((4 * fine.Plate - coarse.Plate) / 3, found.Plate[(int)parameter][0]);

                TubeCurrents Difference(double h)
                {
                    var (up, down) = (At(h), At(-h));
                    return new((up.Grid - down.Grid) / (2 * h), (up.Screen - down.Screen) / (2 * h), (up.Plate - down.Plate) / (2 * h));
                }

                TubeCurrents At(double h)
                {
                    double[] moved = [.. coordinates];
                    moved[(int)parameter] += h;
                    return new TubeModel(TubeCoordinates.With(tube, moved), new Volts(6)).Evaluate(point.Vg1, point.Vg2, point.Vp);
                }

                void Near(double expected, double value) => Assert.True(
                    Math.Abs(expected - value) <= 1e-6 * (Math.Abs(expected) + unit) + 1e-16,
                    $"{parameter} at {point.Vg1:R} {point.Vg2:R} {point.Vp:R}: difference {expected:R}, analytic {value:R}");
            }
        },
        iter: 2000);

    [Fact]
    public void Coordinates_lead_back_to_the_same_tube()
    {
        var tube = SweepRig.Tubes.Catalogue.ExampleTubes.Weak6AU6;
        var back = TubeCoordinates.With(tube, [.. TubeCoordinates.All.Select(p => TubeCoordinates.Coordinate(tube, p))]);
        foreach (var parameter in TubeCoordinates.All)
        {
            Assert.Equal(TubeCoordinates.Value(tube, parameter), TubeCoordinates.Value(back, parameter), Math.Abs(TubeCoordinates.Value(tube, parameter)) * 1e-14 + 1e-30);
            var (lowest, highest) = TubeCoordinates.Range(parameter);
            Assert.InRange(TubeCoordinates.Coordinate(tube, parameter), lowest, highest);
        }
        foreach (var end in (Func<(double Lowest, double Highest), double>[])[r => r.Lowest, r => r.Highest])
            Assert.Empty(TubeCoordinates.With(tube, [.. TubeCoordinates.All.Select(p => Inside(end(TubeCoordinates.Range(p))))]).Faults());

        // Exp and log leave the last place; the range ends are closed.
        static double Inside(double x) => x * (1 - 1e-14);
    }

    [Fact]
    public void Columns_that_are_too_short_are_refused()
    {
        var model = new TubeModel(SweepRig.Tubes.Catalogue.ExampleTubes.Sound6AU6, new Volts(6.3));
        Assert.Contains("columns for 1", Assert.Throws<ArgumentException>(() => model.EvaluateWithSensitivities([0, 0], [24, 24], [24, 24], new(2), new(1))).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => TubeCoordinates.With(model.Parameters, [1]));
    }
}
