using SweepRig.Domain.Quantities;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Networks;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Tests.Support;

/// <summary>A tube as a rig without noise would sweep it.</summary>
internal static class SweptTube
{
    public static Connection Wired(ConnectionKind kind = ConnectionKind.Pentode, double rail = 28, double plateOhms = 10_000) =>
        new(kind, new(rail), new(-14), new(6.3), new Ohms(plateOhms), new Ohms(100), new Ohms(4_700));

    public static MeasuredCurve Curve(TubeModel tube, Connection connection, double from = -14, double to = 24, int points = 191) => MeasuredCurve.Of("r1", connection, Pass(tube, connection, from, to, points)).Value!;

    public static Curve Pass(TubeModel tube, Connection connection, double from, double to, int points)
    {
        var solver = new FixtureSolver(connection);
        double[] drive = [.. Enumerable.Range(0, points).Select(n => from + n * (to - from) / (points - 1))];
        FixturePoint[] at = [.. drive.Select(d => solver.Solve(tube, d))];
        return new()
        {
            Pass = new(0, PassDirection.Up, points, 0, null),
            Drive = drive,
            Grid = [.. at.Select(p => p.Grid)],
            Plate = [.. at.Select(p => p.Plate)],
            Screen = [.. at.Select(p => p.Screen)],
            Supply = [.. at.Select(_ => connection.PlateRail.Value)],
            GridCurrent = [.. at.Select(p => p.GridCurrent)],
            ScreenCurrent = [.. at.Select(p => p.ScreenCurrent)],
            PlateCurrent = [.. at.Select(p => (connection.PlateRail.Value - p.Plate) / connection.PlateResistor.Value)],
            PlateUncertainty = new double[points],
            Flags = [.. at.Select(_ => SampleFlags.Settled)],
            SampledAtTicks = new long[points],
        };
    }
}
