using SweepRig.Analysis.Tests.Spice;
using SweepRig.Logic.Export;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Search;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Logic.Tests.Gates;

/// <summary>Gates whose inputs meet at one grid, with the values that they have where nothing else is said.</summary>
public sealed class AtGridTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Theory]
    [InlineData("nor-at-grid", false)]
    [InlineData("nor-at-grid", true)]
    [InlineData("nand-at-grid", false)]
    [InlineData("nand-at-grid", true)]
    public async Task A_sound_tube_is_right_in_every_row_and_ngspice_has_the_same_levels(string word, bool triode)
    {
        var network = Make(word, CircuitExamples.UsualOf(word, triode));
        var check = NetworkChecker.Check(network, _ => Part(), TestContext.Current.CancellationToken).Value!;
        Assert.Equal(4, check.Rows.Count);
        Assert.True(check.IsRight);
        Assert.True(check.WorstMarginVolts > 1, $"{check.WorstMarginVolts} V");
        foreach (var row in check.Rows)
        {
            var wired = GateWiring.Wire(network, _ => Part(), [.. row.Inputs.Select(high => Waveform.Steady(high ? check.High : check.Low))]);
            var answer = await Ngspice.RunAsync(NetlistWriter.Write(wired), "op", ["v(y)"], TestContext.Current.CancellationToken);
            Assert.Equal(answer.Rows[0][1], row.Volts!["y"], 1e-3);
            Assert.Equal(row.Wanted["y"], answer.Rows[0][1] > check.Threshold);
        }
    }

    [Theory]
    [InlineData("nor-at-grid")]
    [InlineData("nand-at-grid")]
    public void No_other_lower_resistor_of_its_series_leaves_the_worst_tube_of_a_lot_more(string word)
    {
        var usual = CircuitExamples.UsualOf(word);
        var margins = PreferredValues.Between(PreferredSeries.E12, usual.LowerOhms / 2, usual.LowerOhms * 2).Select(lower => (lower, least: Margins(word, usual with { LowerOhms = lower }).Min())).ToList();
        Assert.True(margins.MaxBy(m => m.least).lower == usual.LowerOhms, string.Join(", ", margins));
    }

    [Theory]
    [InlineData("nor-at-grid", false)]
    [InlineData("nor-at-grid", true)]
    [InlineData("nand-at-grid", false)]
    [InlineData("nand-at-grid", true)]
    public void Most_tubes_of_a_lot_are_right_in_every_row(string word, bool triode)
    {
        var margins = Margins(word, CircuitExamples.UsualOf(word, triode));
        Assert.True(margins.Count(m => m > 0) >= 0.9 * margins.Count, string.Join(", ", margins));
    }

    [Fact]
    public void Values_of_an_inverter_are_refused_with_the_resistor_that_is_to_be_changed()
    {
        var refusal = Assert.Single(NetworkChecker.Check(Make("nand-at-grid", new()), _ => Part(), TestContext.Current.CancellationToken).Refusals);
        Assert.Equal("levels-not-restored", refusal.Code);
        Assert.Contains($"lower resistor of the divider until one high input alone leaves the grid cut off: {StageValues.UsualOf(GateKind.NandAtGrid).LowerOhms / 1000:0} kΩ", refusal.Remedy, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("nor-at-grid")]
    [InlineData("nand-at-grid")]
    public void Levels_are_those_that_a_chain_of_whole_gates_comes_to(string word)
    {
        // Eight gates behind each other, one input of each from the gate before and the other from a gate that holds it where it does not decide.
        var values = CircuitExamples.UsualOf(word);
        var kind = values == StageValues.UsualOf(GateKind.NandAtGrid) ? GateKind.NandAtGrid : GateKind.NorAtGrid;
        var held = kind == GateKind.NandAtGrid ? "off" : "on";
        List<Gate> gates = [];
        for (var n = 1; n <= 8; n++) gates.AddRange([new($"h{n}", kind, [held, held], values), new($"y{n}", kind, [n == 1 ? "x" : $"y{n - 1}", $"h{n}"], values)]);
        var chain = new GateNetwork("chain", Rails, ["x", "off", "on"], ["y8"], gates);
        var check = NetworkChecker.Check(Make(word, values), _ => Part(), TestContext.Current.CancellationToken).Value!;
        foreach (var (input, odd, even) in (ReadOnlySpan<(double, double, double)>)[(check.Low, check.High, check.Low), (check.High, check.Low, check.High)])
        {
            var solved = new CircuitValues(Circuit.Of(GateWiring.Wire(chain, _ => Part(), [Waveform.Steady(input), Waveform.Steady(0), Waveform.Steady(28)])));
            var point = new DcSolver(solved).Solve()!;
            // The last but one feeds a gate, as every gate of the chain that is meant does.
            Assert.Equal(odd, point.At("y7"), 0.01);
            Assert.Equal(even, point.At("y6"), 0.01);
        }
    }

    private static List<double> Margins(string word, StageValues values) => [.. new LotSpread().Draw(ExampleTubes.Sound6AU6, 5, 40)
        .Select(p => NetworkChecker.Check(Make(word, values), _ => Part(p), TestContext.Current.CancellationToken).Value?.WorstMarginVolts ?? 0)];

    private static GateNetwork Make(string word, StageValues values) => GateExamples.All.Single(e => e.Word == word).Make(Rails, values);

    private static TubePart Part(Tubes.Model.TubeParameters? constants = null) => new("V", "p", "s", "g", "0", Samples.Tube(constants));
}
