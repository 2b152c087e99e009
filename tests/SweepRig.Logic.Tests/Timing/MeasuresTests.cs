using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Logic.Timing;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Tests.Timing;

/// <summary>Delays, needs and fan-out where a few lines of arithmetic tell them too.</summary>
public sealed class MeasuresTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Fact]
    public void An_edge_through_a_resistor_and_a_capacitor_is_late_by_ln_2_of_their_product()
    {
        // v = 10 V (1 - exp(-t/RC)) passes 5 V at RC ln 2; any text on circuits. 10 kohm, 100 pF.
        var network = new Network("rc",
            [new Source("in", "in", "0", Waveform.Through([(1e-6, 0), (1.001e-6, 10), (20e-6, 10), (20.001e-6, 0)])), new Resistor("R", "in", "out", 10_000), new Capacitor("C", "out", "0", 100e-12)]);
        var values = new CircuitValues(Circuit.Of(network));
        var transient = new TransientSolver(values).Run(new DcSolver(values).Solve()!.Volts, 40e-6, TestContext.Current.CancellationToken).Value!;
        var delays = EdgeDelays.Of(transient, "in", "out", 5);
        Assert.Equal([true, false], delays.Select(d => d.EffectRises));
        Assert.All(delays, d => Assert.Equal(Math.Log(2) * 1e-6, d.Seconds, 3e-9));
    }

    [Fact]
    public void A_plate_with_a_heavy_load_rises_along_its_exponential()
    {
        // 1 nF beside the 8 pF of the plate, charged through 10 kohm from where the tube left it to the rail: it passes half of the restored swing after
        // RC ln((28 - low)/(28 - half)). The tube itself is off a tenth of a microsecond after its input.
        var loaded = GateExamples.Inverter(Rails, new()) with { Loads = [new("y", LoadEnd.Ground, null, 1e-9)] };
        var player = SequencePlayer.For(loaded, _ => Part()).Value!;
        var delays = EdgeDelays.Measure(player, "a", "y", [false], cancel: TestContext.Current.CancellationToken).Value!;
        var low = player.Play([new([true], 1e-3)], player.Starts([true])[0], cancel: TestContext.Current.CancellationToken).Value!.Rows[0].Volts["y"];
        var half = 0.5 * (player.Levels.Low + player.Levels.High);
        var expected = 10_000 * 1.008e-9 * Math.Log((28 - low) / (28 - half));
        Assert.Equal(expected, delays.Single(d => d.EffectRises).Seconds, 0.03 * expected);
        Assert.Contains(delays, d => !d.EffectRises);
    }

    [Fact]
    public void An_output_that_does_not_answer_has_no_delay()
    {
        var player = SequencePlayer.For(GateExamples.Nor(Rails, new()), _ => Part()).Value!;
        Assert.Empty(EdgeDelays.Measure(player, "a", "y", [false, true], cancel: TestContext.Current.CancellationToken).Value!);
        Assert.Equal(2, EdgeDelays.Measure(player, "a", "y", [false, false], cancel: TestContext.Current.CancellationToken).Value!.Count);
        Assert.Throws<ArgumentException>(() => EdgeDelays.Measure(player, "c", "y", [false, false], cancel: TestContext.Current.CancellationToken));
    }

    [Fact]
    public void A_half_adder_takes_what_its_resistors_say()
    {
        var player = SequencePlayer.For(GateExamples.HalfAdder(Rails, new()), _ => Part()).Value!;
        var needs = NetworkNeeds.Of(player.Network, p => p == "V_sum_1" ? Part() with { HeaterAmps = null } : Part() with { HeaterAmps = 0.3 }, TestContext.Current.CancellationToken).Value!;
        // Each input feeds two dividers of 100 and 120 kohm whose grids draw nothing while it is low (Ohm).
        Assert.All(needs.Inputs, i => Assert.Equal(2 * (player.Levels.Low + 14) / 220_000, i.LowAmps, 1e-7));
        // While it is high the grids hold their dividers down, so that more flows.
        Assert.All(needs.Inputs, i => Assert.True(i.HighAmps > 2 * (player.Levels.High + 14) / 220_000));
        // Seven heaters of 0.3 A at 6.3 V (6AU6 data sheet, from memory), and one that nobody knows.
        Assert.Equal(7 * 0.3 * 6.3, needs.HeaterWatts, 1e-9);
        Assert.Equal(["V_sum_1"], needs.HeatersUnknown);
        Assert.Equal(0, needs.RowsWithoutRest);
        Assert.True(needs.MostWatts >= needs.MeanWatts && needs.MostWatts <= 28 * needs.PlateAmps + 14 * needs.BiasAmps);
    }

    [Fact]
    public void The_needs_of_an_inverter_are_those_of_its_solution()
    {
        var player = SequencePlayer.For(GateExamples.Inverter(Rails, new()), _ => Part()).Value!;
        var needs = NetworkNeeds.Of(player.Network, _ => Part(), TestContext.Current.CancellationToken).Value!;
        var values = new CircuitValues(Circuit.Of(GateWiring.Wire(player.Network, _ => Part(), [Waveform.Steady(player.Levels.High)])));
        var point = new DcSolver(values).Solve()!;
        // The rail feeds the plate and the screen.
        Assert.Equal((28 - point.At("y")) / 10_000 + point.Tubes[0].Screen, needs.PlateAmps, 1e-9);
    }

    [Fact]
    public void A_fan_out_limit_is_where_the_square_gets_too_small()
    {
        var limit = FanOutLimit.Find(Rails, new(), [Part()], 2, TestContext.Current.CancellationToken).Value!;
        Assert.True(limit.MarginVolts >= 2 && limit.NextMarginVolts < 2);
        // The same by the curves of the margins' own screen, which are finer.
        Assert.Equal(limit.MarginVolts, Square(limit.Most), 0.05);
        Assert.Equal(limit.NextMarginVolts!.Value, Square(limit.Most + 1), 0.05);
        // A weak tube ends it sooner, and the worst of several counts.
        var weak = FanOutLimit.Find(Rails, new(), [Part(), new("V", "p", "s", "g", "0", Samples.Tube(ExampleTubes.Sound6AU6 with { Perveance = 0.8 * ExampleTubes.Sound6AU6.Perveance }))], 1, TestContext.Current.CancellationToken).Value!;
        Assert.True(weak.Most < FanOutLimit.Find(Rails, new(), [Part()], 1, TestContext.Current.CancellationToken).Value!.Most);

        double Square(int loads)
        {
            var curve = StageTransfer.Of(Rails, new(), Part(), Part(), loads)!;
            return SquareMargins.Of(curve, curve, ChainLevels.Of(curve, curve)).Smaller;
        }
    }

    [Fact]
    public void What_ends_a_fan_out_is_told()
    {
        // Without grid current nothing but the dividers can be to blame.
        var tube = Part() with { Model = Samples.Tube(ExampleTubes.Sound6AU6 with { GridShare = 0 }) };
        Assert.Equal(FanOutEnd.Level, FanOutLimit.Find(Rails, new(), [tube], 1, TestContext.Current.CancellationToken).Value!.EndedBy);
        var refusal = Assert.Single(FanOutLimit.Find(Rails, new(), [Part()], 20, TestContext.Current.CancellationToken).Refusals);
        Assert.Equal("margin-too-small", refusal.Code);
        Assert.Contains("20 V", refusal.Allowed, StringComparison.Ordinal);
    }

    private static TubePart Part() => new("V", "p", "s", "g", "0", Samples.Tube());
}
