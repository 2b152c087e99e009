using SweepRig.Logic.Choice;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Lots;

namespace SweepRig.Logic.Tests.Choice;

public sealed class BistablePairsTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Fact]
    public void The_best_pair_is_the_one_whose_network_has_the_greatest_margin()
    {
        List<TubePart> tubes = [.. new LotSpread().Draw(ExampleTubes.Sound6AU6, seed: 5, count: 5).Select(p => new TubePart("V", "p", "s", "g", "0", Samples.Tube(p)))];
        var pairs = BistablePairs.Of(Rails, new(), tubes, cancel: TestContext.Current.CancellationToken);
        Assert.Equal(10, pairs.Count);
        Assert.Equal(pairs.OrderByDescending(p => p.MarginVolts), pairs);
        // Against the network itself, with adverse voltages in series: the same order where margins are apart, the same size within what the coupling loads.
        var values = new StageValues();
        var loop = new GateNetwork("loop", Rails, [], ["q"], [new("q", GateKind.Nor, ["p"], values), new("p", GateKind.Nor, ["q"], values)]);
        foreach (var pair in (BistablePair[])[pairs[0], pairs[^1]])
        {
            var check = NetworkChecker.Check(loop, p => tubes[p == "V_q_1" ? pair.First : pair.Second], TestContext.Current.CancellationToken).Value!;
            Assert.Equal(pair.MarginVolts, check.WorstMarginVolts, 0.1 * pair.MarginVolts + 0.1);
        }
    }

    [Fact]
    public void A_dead_tube_makes_no_bistable()
    {
        TubePart Part(double emission) => new("V", "p", "s", "g", "0", Samples.Tube(ExampleTubes.Sound6AU6 with { Emission = emission }));
        var pairs = BistablePairs.Of(Rails, new(), [Part(0.12), Part(1e-6), Part(0.10)], cancel: TestContext.Current.CancellationToken);
        Assert.Equal((0, 2), (pairs[0].First, pairs[0].Second));
        Assert.All(pairs.Skip(1), p => Assert.Equal(0, p.MarginVolts));
    }
}
