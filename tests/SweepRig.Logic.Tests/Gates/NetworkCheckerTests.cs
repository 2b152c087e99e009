using SweepRig.Analysis.Tests.Spice;
using SweepRig.Logic.Export;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Tests.Gates;

public sealed class NetworkCheckerTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Theory]
    [InlineData("inverter")]
    [InlineData("nor")]
    [InlineData("nand-at-screen")]
    [InlineData("buffer")]
    [InlineData("latch")]
    [InlineData("toggle")]
    [InlineData("toggle-at-plates")]
    [InlineData("clocked")]
    [InlineData("half-adder")]
    [InlineData("full-adder")]
    public void A_network_of_sound_pentodes_is_right_in_every_row(string word)
    {
        var network = CircuitExamples.All.Single(e => e.Word == word).Make(Rails, new());
        var check = Check(network, _ => Part());
        Assert.True(check.IsRight);
        Assert.Equal(GateTable.InputPatterns(network).Sum(i => GateTable.States(network, i).Count), check.Rows.Count);
        Assert.True(check.WorstMarginVolts > 1);
    }

    [Fact]
    public async Task A_pentode_on_two_grids_is_in_ngspice_where_its_table_has_it()
    {
        var network = GateExamples.All.Single(e => e.Word == "nand-at-screen").Make(Rails, new());
        var check = Check(network, _ => Part());
        // Low when grid and screen are both driven high, and with one of them alone it is not (a table of NAND; any text on switching algebra).
        Assert.Equal([true, true, true, false], check.Rows.Select(r => r.Volts!["y"] > check.Threshold));
        foreach (var row in check.Rows)
        {
            var wired = GateWiring.Wire(network, _ => Part(), [.. row.Inputs.Select(high => Waveform.Steady(high ? check.High : check.Low))]);
            var answer = await Ngspice.RunAsync(NetlistWriter.Write(wired), "op", ["v(f)", "v(y)"], TestContext.Current.CancellationToken);
            Assert.Equal(answer.Rows[0][1], row.Volts!["f"], 1e-3);
            Assert.Equal(answer.Rows[0][2], row.Volts!["y"], 1e-3);
        }
    }

    [Fact]
    public void The_margin_of_a_latch_is_the_square_of_its_loop()
    {
        // Two inverters behind each other. The square takes the stages as one-way; in the circuit the noise also shifts what the divider draws from the plate
        // before it, by the noise times plate resistor over divider, some hundredths: they agree to that.
        var values = new StageValues();
        var loop = new GateNetwork("loop", Rails, [], ["q"], [new("q", GateKind.Nor, ["p"], values), new("p", GateKind.Nor, ["q"], values)]);
        var curve = StageTransfer.Of(Rails, values, Part(), Part(), 1)!;
        var squares = SquareMargins.Of(curve, curve, ChainLevels.Of(curve, curve));
        Assert.Equal(squares.Smaller, Check(loop, _ => Part()).WorstMarginVolts, 0.05 * squares.Smaller);
    }

    [Fact]
    public void A_weak_tube_makes_its_row_wrong_and_is_named()
    {
        var network = GateExamples.HalfAdder(Rails, new());
        var check = Check(network, p => p == "V_carry_2" ? Part(ExampleTubes.Sound6AU6 with { Emission = 2e-4 }) : Part());
        var wrong = check.Rows.Where(r => !r.IsRight).ToList();
        Assert.NotEmpty(wrong);
        // Its tube has to pull the carry down where a is high and b is low.
        Assert.All(wrong, r => Assert.Equal([true, false], r.Inputs));
        Assert.All(wrong, r => Assert.Equal("carry", r.FirstToFail));
    }

    [Fact]
    public void Cells_side_by_side_have_the_rows_that_each_has_by_itself()
    {
        TubePart At(string position) => position.Contains("q2", StringComparison.Ordinal) ? Part(ExampleTubes.Sound6AU6 with { Perveance = 2.4e-3 }) : Part();
        var both = Check(SequenceExamples.Register(Rails, CellValues.Usual, ["q1", "q2"]), At);
        var levels = new ChainLevels(both.Low, both.High, both.Threshold, both.Low, both.High, 2);
        var alone = new[] { "q1", "q2" }.ToDictionary(q => q, q => NetworkChecker.Check(SequenceExamples.Register(Rails, CellValues.Usual, [q]), At, levels, TestContext.Current.CancellationToken));
        Assert.Equal(32, both.Rows.Count);
        foreach (var row in both.Rows)
        {
            var parts = alone.Values.Select(a => a.Rows.Single(r => r.Wanted.All(w => row.Wanted[w.Key] == w.Value))).ToList();
            Assert.Equal(parts.Min(p => p.MarginVolts), row.MarginVolts);
            Assert.Equal(parts.MinBy(p => p.MarginVolts)!.FirstToFail, row.FirstToFail);
            foreach (var (signal, volts) in parts.SelectMany(p => p.Volts!)) Assert.Equal(volts, row.Volts![signal], 1e-9);
        }
        Assert.True(alone["q2"].WorstMarginVolts < alone["q1"].WorstMarginVolts);
    }

    [Fact]
    public void A_stage_that_restores_nothing_is_refused()
    {
        var outcome = NetworkChecker.Check(GateExamples.Inverter(Rails, new() { PlateOhms = 300 }), _ => Part(), TestContext.Current.CancellationToken);
        Assert.Equal("levels-not-restored", Assert.Single(outcome.Refusals).Code);
    }

    private static NetworkCheck Check(GateNetwork network, Func<string, TubePart> tube)
    {
        var outcome = NetworkChecker.Check(network, tube, TestContext.Current.CancellationToken);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }

    private static TubePart Part(Tubes.Model.TubeParameters? constants = null) => new("V", "p", "s", "g", "0", Samples.Tube(constants));
}
