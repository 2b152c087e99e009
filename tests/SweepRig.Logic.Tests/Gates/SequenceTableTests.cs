using SweepRig.Logic.Gates;

namespace SweepRig.Logic.Tests.Gates;

/// <summary>What storing networks do by their rules; the tables are those of any text on switching circuits.</summary>
public sealed class SequenceTableTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Theory]
    [InlineData("toggle")]
    [InlineData("toggle-at-plates")]
    public void A_toggle_halves_from_every_start(string word)
    {
        var network = Make(word);
        var starts = GateTable.States(network, [true]);
        Assert.Equal(2, starts.Count);
        foreach (var start in starts)
        {
            var state = start;
            for (var pulse = 1; pulse <= 6; pulse++)
            {
                state = Step(network, state, false);
                Assert.Equal(start["q"] != (pulse % 2 == 1), state["q"]);
                Assert.NotEqual(state["q"], state["p"]);
                var after = Step(network, state, true);
                Assert.Equal(state["q"], after["q"]);
                state = after;
            }
        }
    }

    [Fact]
    public void A_clocked_cell_takes_its_data_over_at_the_edge_alone()
    {
        var network = Make("clocked");
        foreach (var start in GateTable.States(network, [false, true]))
        {
            var state = Step(network, start, true, true);
            Assert.Equal(start["q"], state["q"]);
            state = Step(network, state, true, false);
            Assert.True(state["q"]);
            state = Step(network, state, false, false);
            Assert.True(state["q"]);
            state = Step(network, Step(network, state, false, true), false, false);
            Assert.False(state["q"]);
        }
    }

    [Fact]
    public void A_ring_goes_round_by_one_place_an_edge()
    {
        var network = Make("ring");
        foreach (var any in GateTable.States(network, [true, false]))
        {
            var state = Step(network, Step(network, any, true, true), true, false);
            for (var pulse = 0; pulse < 9; pulse++)
            {
                Assert.Equal([.. Enumerable.Range(0, 4).Select(n => n == pulse % 4)], network.Outputs.Select(o => state[o]));
                state = Step(network, Step(network, state, false, false), true, false);
            }
        }
    }

    [Fact]
    public void A_row_of_four_moves_its_bits_on()
    {
        var network = Make("shift-register");
        bool[] sent = [true, false, true, true, false, false, true, false];
        foreach (var start in GateTable.States(network, [false, true]))
        {
            var state = start;
            for (var n = 0; n < sent.Length; n++)
            {
                state = Step(network, Step(network, Step(network, state, sent[n], true), sent[n], false), sent[n], true);
                for (var back = 0; back < 4 && back <= n; back++) Assert.Equal(sent[n - back], state[network.Outputs[back]]);
            }
        }
    }

    [Fact]
    public void Toggles_behind_each_other_count()
    {
        // The second changes with each fall of the first: a binary counter, whatever the first pulse finds.
        var cells = new StorageCells(CellValues.Usual).Toggle("a", "a_p", "trigger", SteerPlace.Grid).Toggle("b", "b_p", "a", SteerPlace.Grid);
        var network = new GateNetwork("counter", Rails, ["trigger"], ["a", "b"], cells.Gates) { Steers = cells.Steers };
        foreach (var start in GateTable.States(network, [true]))
        {
            var (state, count) = (start, Number(start));
            for (var pulse = 1; pulse <= 8; pulse++)
            {
                state = Step(network, Step(network, state, false), true);
                Assert.Equal((count + pulse) % 4, Number(state));
            }
        }

        static int Number(IReadOnlyDictionary<string, bool> state) => (state["a"] ? 1 : 0) + (state["b"] ? 2 : 0);
    }

    [Fact]
    public void A_steer_that_leads_to_no_divider_is_a_fault()
    {
        var network = Make("toggle") with { Steers = [new("trigger", "q", "q", 2, SteerPlace.Grid, new())] };
        var fault = Assert.Throws<ArgumentException>(() => GateWiring.Wire(network, _ => new("V", "p", "s", "g", "0", Support.Samples.Tube()), [SweepRig.Logic.Networks.Waveform.Steady(0)]));
        Assert.Contains("input 2 of q", fault.Message, StringComparison.Ordinal);
    }

    private static IReadOnlyDictionary<string, bool> Step(GateNetwork network, IReadOnlyDictionary<string, bool> state, params bool[] inputs)
    {
        var next = SequenceTable.Next(network, state, inputs);
        Assert.NotNull(next);
        return next;
    }

    private static GateNetwork Make(string word) => SequenceExamples.All.Single(e => e.Word == word).Make(Rails, new());
}
