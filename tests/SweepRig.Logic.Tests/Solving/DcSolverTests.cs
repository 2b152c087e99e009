using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Fixture;

namespace SweepRig.Logic.Tests.Solving;

public sealed class DcSolverTests
{
    [Fact]
    public void A_divider_is_that_of_its_resistors()
    {
        var network = new Network("divider", [Samples.Rail(), Samples.Bias(), new Resistor("R1", "B", "m", 30_000), new Resistor("R2", "m", "C", 12_000)]);
        var point = Solve(network);
        Assert.Equal(-14 + 42 * 12.0 / 42, point.At("m"), 12);
        Assert.Equal([1e-3, -1e-3], point.SourceAmps, (a, b) => Math.Abs(a - b) < 1e-15);
    }

    [Theory]
    [InlineData(-12)]
    [InlineData(-2)]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(24)]
    public void A_tube_in_its_fixture_is_where_the_solver_of_the_fixture_puts_it(double drive)
    {
        var fixture = new FixtureSolver(new Connection(ConnectionKind.Pentode, new Volts(28), new Volts(-14), new Volts(6.3), new Ohms(10_000), new Ohms(100), new Ohms(4_700))).Solve(Samples.Tube(), drive);
        var point = Solve(new Network("fixture",
        [
            Samples.Rail(), new Source("in", "in", "0", Waveform.Steady(drive)), new Resistor("Rp", "B", "out", 10_000), new Resistor("Rg2", "B", "s", 100), new Resistor("Rs", "in", "g", 4_700),
            new TubePart("V1", "out", "s", "g", "0", Samples.Tube()),
        ]));
        Assert.Equal(fixture.Plate, point.At("out"), 1e-9);
        Assert.Equal(fixture.Grid, point.At("g"), 1e-9);
        Assert.Equal(fixture.PlateCurrent, point.Tubes[0].Plate, 1e-12);
        Assert.Equal(fixture.GridCurrent, point.SourceAmps[1], 1e-12);
    }

    [Fact]
    public void A_source_between_two_free_nodes_carries_what_its_neighbours_do()
    {
        // 28 V through 1 kohm, a floating 5 V source against it, 1 kohm to ground: (28 - 5) V over 2 kohm.
        var point = Solve(new Network("floating", [Samples.Rail(), new Resistor("R1", "B", "a", 1_000), new Source("E", "a", "d", Waveform.Steady(5)), new Resistor("R2", "d", "0", 1_000)]));
        Assert.Equal(11.5e-3, point.SourceAmps[0], 1e-12);
        Assert.Equal(-11.5e-3, point.SourceAmps[1], 1e-12);
        Assert.Equal(16.5, point.At("a"), 1e-9);
        Assert.Equal(11.5, point.At("d"), 1e-9);
    }

    [Fact]
    public void Sources_in_series_hold_nodes_one_after_the_other()
    {
        var point = Solve(new Network("stack",
            [new Source("upper", "top", "B", Waveform.Steady(6)), Samples.Rail(), new Source("under", "0", "low", Waveform.Steady(14)), new Resistor("R", "top", "low", 4_800)]));
        Assert.Equal(34, point.At("top"));
        Assert.Equal(-14, point.At("low"));
        Assert.All(point.SourceAmps, i => Assert.Equal(10e-3, i, 1e-15));
    }

    [Fact]
    public void A_diode_carries_what_its_law_says()
    {
        var point = Solve(new Network("diode", [Samples.Rail(5), new Resistor("R", "B", "a", 1_000), new Diode("D", "a", "0")]));
        var amps = 2.5e-9 * (Math.Exp(point.At("a") / (1.75 * Diode.ThermalVolts)) - 1);
        Assert.Equal((5 - point.At("a")) / 1_000, amps, 1e-12);
    }

    [Fact]
    public void Every_tube_network_of_the_samples_is_solved_from_no_start()
    {
        for (var volts = -14.0; volts <= 28; volts += 1.75)
        {
            _ = Solve(Samples.InverterOf(volts));
            _ = Solve(Samples.InverterOf(volts, triode: true));
        }
        _ = Solve(Samples.Bistable());
        _ = Solve(Samples.Ring(5));
    }

    [Fact]
    public void What_cannot_balance_is_no_point()
    {
        // A tube fed with no number has no balance; the solver says so instead of giving what it last had.
        var circuit = Circuit.Of(Samples.InverterOf(0));
        var values = new CircuitValues(circuit);
        values.Siemens[0] = double.NaN;
        Assert.Null(new DcSolver(values).Solve());
    }

    private static OperatingPoint Solve(Network network)
    {
        var point = new DcSolver(new CircuitValues(Circuit.Of(network))).Solve();
        Assert.NotNull(point);
        return point;
    }
}
