using System.Numerics;
using SweepRig.Domain.Quantities;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Model;

public sealed class VariedTubeTests
{
    private static readonly TubeParameters[] Kinds =
    [
        ExampleTubes.Sound6AU6, ExampleTubes.Weak6AU6, ExampleTubes.Sound6BH6 with { PlateSpaceSharpness = 3 },
        ExampleTubes.Sound6AU6 with { GasRatio = 1e-3, GridCathodeLeakSiemens = 1e-8, GridScreenLeakSiemens = 2e-9, GridPlateLeakSiemens = 3e-9, PlateCathodeLeakSiemens = 4e-8 },
    ];

    private readonly Random _random = new(5);

    [Fact]
    public void What_does_not_vary_is_the_tube_bit_for_bit()
    {
        foreach (var kind in Kinds)
        {
            var model = new TubeModel(kind, new Volts(6.1));
            var varied = new VariedTube(model);
            varied.Vary(Lanes(_ => 1.3), Lanes(_ => 0.1), Lanes(_ => 0.8));
            varied.Vary(Vector<double>.One, Vector<double>.Zero, Vector<double>.One);
            for (var n = 0; n < 50; n++)
            {
                var (grid, screen, plate) = (Lanes(_ => Between(-10, 4)), Lanes(_ => Between(0, 60)), Lanes(_ => Between(0, 60)));
                varied.Evaluate(grid, screen, plate, out var lanes);
                for (var lane = 0; lane < Vector<double>.Count; lane++)
                    Assert.Equal((model.Evaluate(grid[lane], screen[lane], plate[lane], out var slopes), slopes), (Currents(lanes, lane), Slopes(lanes, lane)));
            }
        }
    }

    [Fact]
    public void Each_lane_is_the_tube_with_the_constants_of_that_lane()
    {
        foreach (var kind in Kinds)
        {
            var varied = new VariedTube(new(kind, new Volts(6.1)));
            for (var n = 0; n < 50; n++)
            {
                var (perveance, offset, emission) = (Lanes(_ => Between(0.5, 1.5)), Lanes(_ => Between(-0.3, 0.3)), Lanes(_ => Between(0.3, 1.7)));
                varied.Vary(perveance, offset, emission);
                var (grid, screen, plate) = (Lanes(_ => Between(-3, 4)), Lanes(_ => Between(0, 60)), Lanes(_ => Between(0, 60)));
                varied.Evaluate(grid, screen, plate, out var lanes);
                for (var lane = 0; lane < Vector<double>.Count; lane++)
                {
                    var own = kind with { Perveance = kind.Perveance * perveance[lane], GridOffset = kind.GridOffset + offset[lane], Emission = kind.Emission * emission[lane] };
                    var alone = new TubeModel(own, new Volts(6.1)).Evaluate(grid[lane], screen[lane], plate[lane], out var slopes);
                    var (currents, found) = (Currents(lanes, lane), Slopes(lanes, lane));
                    double[] expected = [alone.Grid, alone.Screen, alone.Plate, slopes.GridByGrid, slopes.ScreenByScreen, slopes.PlateByGrid, slopes.PlateByPlate];
                    double[] given = [currents.Grid, currents.Screen, currents.Plate, found.GridByGrid, found.ScreenByScreen, found.PlateByGrid, found.PlateByPlate];
                    for (var i = 0; i < expected.Length; i++) Assert.Equal(expected[i], given[i], 1e-11 * (Math.Abs(alone.Plate) + Math.Abs(alone.Screen)) + 1e-16);
                }
            }
        }
    }

    private static Vector<double> Lanes(Func<int, double> of) => new([.. Enumerable.Range(0, Vector<double>.Count).Select(of)]);

    private double Between(double low, double high) => low + (high - low) * _random.NextDouble();

    private static TubeCurrents Currents(in TubeLanes i, int lane) => new(i.Grid[lane], i.Screen[lane], i.Plate[lane]);

    private static TubeConductances Slopes(in TubeLanes i, int lane) => new(
        i.GridByGrid[lane], i.GridByScreen[lane], i.GridByPlate[lane], i.ScreenByGrid[lane], i.ScreenByScreen[lane], i.ScreenByPlate[lane],
        i.PlateByGrid[lane], i.PlateByScreen[lane], i.PlateByPlate[lane]);
}
