using SweepRig.Analysis.Families;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Analysis.Tests.Families;

/// <summary>Families as a rig would record them, from the modelled tube, with noise of known size.</summary>
internal static class Bench
{
    public const double Noise = 0.002;

    public static readonly TubeModel Tube = new(ExampleTubes.Sound6AU6, new Volts(6.3));

    public static Connection With(ConnectionKind kind, double plateOhms, double rail = 28) => new(
        kind, new Volts(rail), new Volts(-14), new Volts(6.3), new Ohms(plateOhms), new Ohms(100), new Ohms(4_700));

    /// <summary>One run with one pass for each rail.</summary>
    public static FamilyRun Run(Connection connection, int seed, double[] drive, SteppedSource? stepped = null, params double[] rails)
    {
        var curves = rails.Length == 0 ? [Pass(connection, connection.PlateRail.Value, null, seed, drive)]
            : rails.Select((r, i) => Pass(connection, r, r, 100 * seed + i, drive)).ToArray();
        return new(connection, stepped, curves, Analysis.Tests.Curves.Exact);
    }

    public static double Truth(Connection connection, double drive) => new FixtureSolver(connection).Solve(Tube, drive).Plate;

    private static Curve Pass(Connection connection, double rail, double? second, int seed, double[] drive)
    {
        var solver = new FixtureSolver(connection);
        var random = new Random(seed);
        var points = Array.ConvertAll(drive, x => solver.Solve(Tube, x, rail));
        double[] Read(Func<FixturePoint, double> of) => Array.ConvertAll(points, p => of(p) + Noise * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()));
        var plate = Read(p => p.Plate);
        var grid = Read(p => p.Grid);
        return new()
        {
            Pass = new(0, PassDirection.Up, drive.Length, 0, second),
            Drive = drive,
            Plate = plate,
            Grid = grid,
            Screen = Array.ConvertAll(points, p => p.Screen),
            Supply = Array.ConvertAll(points, _ => rail),
            GridCurrent = [.. drive.Zip(grid, (d, g) => (d - g) / connection.GridStopper.Value)],
            ScreenCurrent = Array.ConvertAll(points, p => p.ScreenCurrent),
            PlateCurrent = Array.ConvertAll(plate, v => (rail - v) / connection.PlateResistor.Value),
            PlateUncertainty = Array.ConvertAll(points, _ => Noise),
            PlateCurrentUncertainty = Array.ConvertAll(points, _ => Noise / connection.PlateResistor.Value),
            Flags = Array.ConvertAll(points, _ => SampleFlags.Settled),
            SampledAtTicks = new long[points.Length],
        };
    }
}
