using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Fixture;

public class FixtureSweepTests
{
    private static readonly double[] Drives = [.. Enumerable.Range(0, 65).Select(i => -8 + 0.5 * i)];

    public static TheoryData<ConnectionKind> Kinds => [ConnectionKind.Pentode, ConnectionKind.Triode];

    private static Connection Connection(ConnectionKind kind) => new(kind, new(28), new(-14), new(6.3), new(22_000), new(1_000), new(4_700));

    private static FixtureSweep Sweep(ConnectionKind kind) => new(Connection(kind), Drives, [.. Drives.Select(_ => 28.0)]);

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Many_points_together_are_where_the_solver_puts_them_singly(ConnectionKind kind)
    {
        var sweep = Sweep(kind);
        // Far from each other, so that the second start is a bad one.
        foreach (var tube in (TubeParameters[])[ExampleTubes.Sound6BH6, ExampleTubes.Weak6AU6])
        {
            var model = new TubeModel(tube, new Volts(6.3));
            Assert.True(sweep.Solve(model));
            var solver = new FixtureSolver(Connection(kind));
            for (var i = 0; i < Drives.Length; i++)
            {
                var point = solver.Solve(model, Drives[i]);
                Assert.Equal(point.Grid, sweep.Grid[i], 1e-9);
                Assert.Equal(point.Screen, sweep.Screen[i], 1e-9);
                Assert.Equal(point.Plate, sweep.Plate[i], 1e-9);
            }
        }
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Derivatives_agree_with_differences_of_solutions(ConnectionKind kind)
    {
        var tube = ExampleTubes.Weak6AU6;
        var sweep = Sweep(kind);
        var model = new TubeModel(tube, new Volts(6.3));
        Assert.True(sweep.Solve(model));
        sweep.Differentiate(model);
        var (grid, screen, plate) = (new double[Drives.Length], new double[Drives.Length], new double[Drives.Length]);
        var coordinates = TubeCoordinates.All.Select(p => TubeCoordinates.Coordinate(tube, p)).ToArray();

        foreach (var parameter in TubeCoordinates.All)
        {
            sweep.By(parameter, grid, screen, plate);
            var width = parameter == TubeParameter.GridCathodeLeakSiemens ? 1e-9 : parameter == TubeParameter.GasRatio ? 1e-5 : 1e-4;
            Check(parameter.ToString(), width, (other, h) =>
            {
                double[] moved = [.. coordinates];
                moved[(int)parameter] += h;
                return new TubeModel(TubeCoordinates.With(tube, moved), new Volts(6.3));
            });
        }
        sweep.ByDrive(grid, screen, plate);
        Check("drive", 1e-4, (other, h) => Moved(other, other.Drive, h));
        sweep.ByRail(grid, screen, plate);
        Check("rail", 1e-4, (other, h) => Moved(other, other.Rail, h));
        sweep.ByGridOhms(grid, screen, plate);
        Check("grid stopper", 1e-4, (other, h) => { other.GridOhms *= Math.Exp(h); return model; });
        sweep.ByScreenOhms(grid, screen, plate);
        Check("screen resistor", 1e-4, (other, h) => { other.ScreenOhms *= Math.Exp(h); return model; });
        sweep.ByPlateOhms(grid, screen, plate);
        Check("plate resistor", 1e-4, (other, h) => { other.PlateOhms *= Math.Exp(h); return model; });

        TubeModel Moved(FixtureSweep other, double[] column, double h)
        {
            for (var i = 0; i < column.Length; i++) column[i] += h;
            return model;
        }

        void Check(string what, double width, Func<FixtureSweep, double, TubeModel> change)
        {
            FixtureSweep up = Sweep(kind), down = Sweep(kind);
            Assert.True(up.Solve(change(up, width)));
            Assert.True(down.Solve(change(down, -width)));
            Compare(grid, up.Grid, down.Grid);
            Compare(screen, up.Screen, down.Screen);
            Compare(plate, up.Plate, down.Plate);

            void Compare(double[] analytic, double[] high, double[] low)
            {
                var scale = analytic.Max(Math.Abs) + 1e-6;
                for (var i = 0; i < analytic.Length; i++)
                {
                    var difference = (high[i] - low[i]) / (2 * width);
                    Assert.True(Math.Abs(difference - analytic[i]) <= 2e-5 * scale + 1e-11 / width, $"{what} at {Drives[i]} V: {difference:R} against {analytic[i]:R}");
                }
            }
        }
    }

    [Fact]
    public void Lengths_must_agree() => Assert.Throws<ArgumentException>(() => new FixtureSweep(Connection(ConnectionKind.Triode), [1, 2], [28]));
}
