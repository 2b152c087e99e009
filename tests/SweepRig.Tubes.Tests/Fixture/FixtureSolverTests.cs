using CsCheck;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Fixture;
using SweepRig.Tubes.Model;

namespace SweepRig.Tubes.Tests.Fixture;

public class FixtureSolverTests
{
    private static readonly Gen<double> Ohms = Gen.Frequency((1, Gen.Const(0.0)), (6, Gen.Double[0, 6].Select(x => Math.Pow(10, x))));

    private static readonly Gen<(TubeParameters Tube, double Heater, Connection Connection, double Drive)> Cases =
        from tube in RandomTubes.Any
        from heater in Gen.Double[0, 7]
        from triode in Gen.Bool
        from rail in Gen.Frequency((1, Gen.Const(0.0)), (8, Gen.Double[1, 60]))
        from plate in Ohms
        from screen in Ohms
        from grid in Ohms
        from drive in Gen.Double[-60, 60]
        select (tube, heater, Connections.With(triode ? ConnectionKind.Triode : ConnectionKind.Pentode, rail, plate, screen, grid), drive);

    // Source: Kirchhoff 1845, Ann. Phys. 140, 497 (from memory): what flows into a node flows out of it.
    [Fact]
    public void Currents_balance_at_every_node_for_random_tubes_resistors_and_drives() => Cases.Sample(
        c =>
        {
            var tube = new TubeModel(c.Tube, new Volts(c.Heater));
            AssertBalanced(c.Connection, tube, c.Drive, new FixtureSolver(c.Connection).Solve(tube, c.Drive));
        },
        iter: 20000);

    // With gas and a large grid stopper a tube may have more than one balance; without gas it has one.
    private static readonly Gen<(TubeParameters Tube, double Heater, Connection Connection, double Drive)> CasesWithoutGas =
        Cases.Select(c => (c.Tube with { GasRatio = 0 }, c.Heater, c.Connection, c.Drive));

    [Fact]
    public void The_sure_way_alone_finds_the_same_balance() => CasesWithoutGas.Sample(
        c =>
        {
            var tube = new TubeModel(c.Tube, new Volts(c.Heater));
            var solver = new FixtureSolver(c.Connection);
            var quick = solver.Solve(tube, c.Drive);
            var sure = solver.SolveByBrackets(tube, c.Drive, c.Connection.PlateRail.Value);
            Assert.True(sure.IsSolved);
            Assert.Equal(quick.Plate, sure.Plate, 1e-8);
            Assert.Equal(quick.Screen, sure.Screen, 1e-8);
            Assert.Equal(quick.Grid, sure.Grid, 1e-8);
        },
        iter: 300);

    [Fact]
    public void Any_earlier_point_serves_as_a_start() => Gen.Select(CasesWithoutGas, Gen.Double[-60, 60]).Sample(
        (c, before) =>
        {
            var tube = new TubeModel(c.Tube, new Volts(c.Heater));
            var solver = new FixtureSolver(c.Connection);
            var rail = c.Connection.PlateRail.Value;
            var cold = solver.Solve(tube, c.Drive);
            var warm = solver.Solve(tube, c.Drive, rail, solver.Solve(tube, before));
            Assert.True(warm.IsSolved);
            Assert.Equal(cold.Plate, warm.Plate, 1e-8);
            Assert.Equal(cold.Grid, warm.Grid, 1e-8);
        },
        iter: 5000);

    [Fact]
    public void A_neighbouring_start_needs_few_evaluations_and_no_memory()
    {
        var tube = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        foreach (var kind in Enum.GetValues<ConnectionKind>())
        {
            var solver = new FixtureSolver(Connections.Bench(kind));
            var point = Sweep(solver, tube, default, out _);
            var before = GC.GetAllocatedBytesForCurrentThread();
            Sweep(solver, tube, point, out var evaluations);
            Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
            Assert.InRange(evaluations / 1000.0, 1, 4.0);
        }
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(1001)]
    [InlineData(-1001)]
    public void A_drive_that_is_no_use_is_refused_with_its_limit(double drive)
    {
        var solver = new FixtureSolver(Connections.Bench(ConnectionKind.Pentode));
        var tube = new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3));
        var fault = Assert.Throws<ArgumentOutOfRangeException>(() => solver.Solve(tube, drive));
        Assert.Contains("allowed is -1000 V to 1000 V", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_negative_resistor_is_refused()
    {
        var fault = Assert.Throws<ArgumentException>(() => new FixtureSolver(Connections.With(ConnectionKind.Triode, 24, -1, 100, 4700)));
        Assert.Contains("plate resistor is -1 ohm", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_tube_beyond_all_physics_gives_an_honest_status_or_a_true_balance()
    {
        // The largest constants that the ranges admit, against the largest resistors: the residuals are then far above any voltage in the circuit.
        var tube = new TubeModel(
            ExampleTubes.Sound6AU6 with { Perveance = 1, Emission = 100, GridShare = 10, ScreenMu = 1, PlateMu = 1, GasRatio = 0.1, GridOffset = 5 }, new Volts(6.3));
        foreach (var kind in Enum.GetValues<ConnectionKind>())
        {
            var connection = Connections.With(kind, 60, 1e9, 1e9, 1e9);
            var point = new FixtureSolver(connection).Solve(tube, 60);
            if (point.IsSolved) AssertBalanced(connection, tube, 60, point);
            else Assert.Equal(FixtureStatus.Unsolved, point.Status);
        }
    }

    private static FixturePoint Sweep(FixtureSolver solver, TubeModel tube, FixturePoint point, out int evaluations)
    {
        evaluations = 0;
        for (var n = 0; n < 1000; n++)
        {
            point = solver.Solve(tube, -14 + 0.038 * n, 24, point);
            evaluations += point.Evaluations;
        }
        return point;
    }

    private static void AssertBalanced(Connection connection, TubeModel tube, double drive, FixturePoint point)
    {
        Assert.True(point.IsSolved, $"not solved at drive {drive:R} V");
        var triode = connection.Kind == ConnectionKind.Triode;
        var rail = connection.PlateRail.Value;
        var i = tube.Evaluate(point.Grid, point.Screen, point.Plate);
        Node(drive, point.Grid, connection.GridStopper.Value, i.Grid);
        Node(rail, point.Plate, connection.PlateResistor.Value, triode ? i.Plate + i.Screen : i.Plate);
        if (triode) Assert.Equal(point.Plate, point.Screen);
        else Node(rail, point.Screen, connection.ScreenResistor.Value, i.Screen);
        Assert.Equal(i.Cathode, point.CathodeCurrent, 1e-12 * Math.Abs(i.Cathode) + 1e-18);
    }

    // The scale of a node is the sum of what flows in it: the tube's current and the currents of both ends of the resistor taken against the cathode.
    private static void Node(double source, double node, double ohms, double current)
    {
        if (ohms == 0)
        {
            Assert.Equal(source, node, 1e-12 * (Math.Abs(source) + 0.01));
            return;
        }
        var scale = Math.Abs(current) + (Math.Abs(source) + Math.Abs(node) + 0.01) / ohms;
        Assert.True(
            Math.Abs((source - node) / ohms - current) < 1e-12 * scale,
            $"{source:R} V through {ohms:R} ohm to {node:R} V against {current:R} A");
    }
}
