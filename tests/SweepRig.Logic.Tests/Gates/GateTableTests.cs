using SweepRig.Logic.Gates;

namespace SweepRig.Logic.Tests.Gates;

/// <summary>The examples do by the rules of their gates what their names promise; the tables are those of any text on switching algebra.</summary>
public sealed class GateTableTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Theory]
    [InlineData("inverter", "10")]
    [InlineData("nor", "1000")]
    [InlineData("nor-at-grid", "1000")]
    [InlineData("nand-at-grid", "1110")]
    [InlineData("nand-at-screen", "1110")]
    [InlineData("buffer", "01")]
    [InlineData("follower", "01")]
    public void A_gate_has_its_table(string word, string expected)
    {
        var network = Make(word);
        Assert.Equal(expected, string.Concat(GateTable.InputPatterns(network).Select(i => GateTable.States(network, i).Single()["y"] ? '1' : '0')));
    }

    [Theory]
    [InlineData("half-adder", 8)]
    [InlineData("full-adder", 18)]
    public void An_adder_adds(string word, int tubes)
    {
        var network = Make(word);
        Assert.Equal(tubes, network.Positions.Count);
        foreach (var inputs in GateTable.InputPatterns(network))
        {
            var state = GateTable.States(network, inputs).Single();
            Assert.Equal(inputs.Count(i => i), (state["carry"] ? 2 : 0) + (state["sum"] ? 1 : 0));
        }
    }

    [Fact]
    public void A_latch_keeps_what_it_was_told()
    {
        var latch = Make("latch");
        Assert.True(GateTable.States(latch, [true, false]).Single()["q"]);
        Assert.False(GateTable.States(latch, [false, true]).Single()["q"]);
        Assert.Equal([false, true], GateTable.States(latch, [false, false]).Select(s => s["q"]).Order());
        var both = GateTable.States(latch, [true, true]).Single();
        Assert.False(both["q"] || both["p"]);
    }

    [Fact]
    public void An_odd_ring_cannot_rest()
    {
        var ring = new GateNetwork("ring", Rails, [], ["x"], [new("x", GateKind.Nor, ["y"], new()), new("y", GateKind.Nor, ["z"], new()), new("z", GateKind.Nor, ["x"], new())]);
        Assert.Empty(GateTable.States(ring, []));
    }

    private static GateNetwork Make(string word) => GateExamples.All.Single(e => e.Word == word).Make(Rails, new());
}
