using SweepRig.Analysis.Tests.Spice;
using SweepRig.Logic.Export;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Logic.Yield;

namespace SweepRig.Logic.Tests.Yield;

/// <summary>The half adder whose trials are all right and whose worst corner is not.</summary>
public sealed class CornerTests
{
    private static readonly GateNetwork HalfAdder = GateExamples.HalfAdder(new(28, -14, 6.3), new());

    [Fact]
    public async Task The_corner_that_is_wrong_is_wrong_in_ngspice_too()
    {
        var table = NominalTable.Of(HalfAdder, _ => Part()).Value!;
        var (factors, bench) = (new YieldFactors(table, Tolerances.Usual), new TableBench(table));
        var corners = Enumerable.Range(0, table.Rows.Count).Select(row => YieldRun.Corner(factors, bench, row)).ToList();
        Assert.Equal([false, false, false, true], corners.Select(c => c.Volts < 0));
        // Both inputs high: that of na and nb which is just still low leaves a tube of carry half on, carry falls, and sum rises.
        factors.Put(corners[3].At, bench);
        Assert.Equal(corners[3].Volts, bench.Distance(3));
        var said = await SpiceAsync(bench.Values);
        Assert.True(said["na"] < table.Levels.Middle && said["carry"] < table.Levels.Middle && said["sum"] > table.Levels.Middle, string.Join(", ", said));
        Assert.Equal(table.Levels.Middle - said["sum"], corners[3].Volts, 0.01);
    }

    [Fact]
    public void Up_to_its_reach_every_signal_is_right_and_beyond_it_is_not()
    {
        var result = YieldRun.Run(HalfAdder, _ => Part(), Tolerances.Usual, 100, 7, cancel: TestContext.Current.CancellationToken).Value!;
        Assert.Equal(100, result.Good);
        Assert.True(result.CornerVolts < 0);
        // 39 resistors and rails, three constants of each of eight tubes.
        var table = NominalTable.Of(HalfAdder, _ => Part()).Value!;
        Assert.Equal(table.Values.Circuit.Network.Parts.OfType<Resistor>().Count() + 2 + 3 * 8, result.Quantities);
        var (factors, bench) = (new YieldFactors(table, Tolerances.Usual), new TableBench(table));
        var corner = YieldRun.Corner(factors, bench, 3);
        Assert.Equal(result.CornerReach, corner.Reach);
        Assert.InRange(corner.Reach, 0.5, 0.999);
        foreach (var share in (double[])[0.25, 0.5, 0.75, 0.99, 1.01])
        {
            factors.Put([.. corner.At.Select(a => share * corner.Reach * a)], bench);
            Assert.Equal(share < 1, bench.Distance(3) > 0);
        }
    }

    [Fact]
    public void A_corner_that_is_right_is_reached_whole()
    {
        var result = YieldRun.Run(GateExamples.Inverter(new(28, -14, 6.3), new()), _ => Part(), new(0.01, 0.01, 0, 0, 0), 50, 7, cancel: TestContext.Current.CancellationToken).Value!;
        Assert.True(result.CornerVolts > 0);
        Assert.Equal((1.0, 7), (result.CornerReach, result.Quantities));
    }

    private static async Task<Dictionary<string, double>> SpiceAsync(CircuitValues values)
    {
        var (resistor, source, tube) = (0, 0, 0);
        var network = new Network("corner", [.. values.Circuit.Network.Parts.Select(part => part switch
        {
            Resistor r => r with { Ohms = 1 / values.Siemens[resistor++] },
            Source s => s with { Volts = values.Sources[source++] },
            TubePart t => t with { Model = values.Tubes[tube++] },
            _ => part,
        })]);
        string[] signals = [.. HalfAdder.Gates.Select(g => g.Output)];
        var answer = await Ngspice.RunAsync(NetlistWriter.Write(network), "op", signals.Select(s => $"v({s})"), TestContext.Current.CancellationToken);
        return signals.Select((s, at) => (s, answer.Rows[0][at + 1])).ToDictionary(s => s.s, s => s.Item2, StringComparer.Ordinal);
    }

    private static TubePart Part() => new("V", "p", "s", "g", "0", Samples.Tube());
}
