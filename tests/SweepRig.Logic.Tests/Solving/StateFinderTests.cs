using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Tests.Solving;

public sealed class StateFinderTests
{
    [Fact]
    public void A_bistable_has_two_stable_states_and_one_between()
    {
        var states = Find(Samples.Bistable());
        Assert.Equal(3, states.All.Count);
        Assert.Equal(2, states.Stable.Count);
        Assert.True(states.AddsUp);
        var (low, high) = (states.Stable[0], states.Stable[1]);
        // Alike tubes: the states are each other's mirror image, and the one between has both plates at one voltage.
        Assert.Equal(low.Point.At("p"), high.Point.At("q"), 1e-8);
        Assert.True(high.Point.At("p") - low.Point.At("p") > 10);
        var between = states.All.Single(s => !s.IsStable).Point;
        Assert.Equal(between.At("p"), between.At("q"), 1e-8);
    }

    [Fact]
    public void A_pair_of_triodes_with_this_divider_may_also_rest_in_the_middle()
    {
        // The triodes amplify too little there: what looks like a bistable hangs between its states. A search that knew only two states would call it good.
        var states = Find(Samples.Bistable(triode: true));
        Assert.Equal(3, states.Stable.Count);
        Assert.Equal(5, states.All.Count);
        Assert.True(states.AddsUp);
        Assert.Equal(states.Stable[1].Point.At("p"), states.Stable[1].Point.At("q"), 1e-8);
    }

    [Fact]
    public void A_bistable_with_a_dead_tube_has_one_state()
    {
        var dead = Samples.Tube(ExampleTubes.Sound6AU6 with { Emission = 1e-6 });
        var states = Find(Samples.Bistable(second: dead));
        Assert.Single(states.All);
        Assert.True(states.All[0].IsStable);
        Assert.True(states.AddsUp);
    }

    [Fact]
    public void An_inverter_has_one_state()
    {
        var states = Find(Samples.InverterOf(7));
        Assert.Single(states.All);
        Assert.True(states.All[0].IsStable);
    }

    [Fact]
    public void An_odd_ring_has_a_balance_that_does_not_hold()
    {
        var states = Find(Samples.Ring(3));
        Assert.Single(states.All);
        Assert.False(states.All[0].IsStable);
        Assert.True(states.AddsUp);
    }

    [Fact]
    public void Two_bistables_side_by_side_have_nine_balances_of_which_four_are_stable()
    {
        Part[] second =
        [
            .. Samples.Inverter("3", "y", "x"),
            .. Samples.Inverter("4", "x", "y"),
        ];
        var states = Find(new Network("pair", [.. Samples.Bistable().Parts, .. second]));
        Assert.Equal(4, states.Stable.Count);
        Assert.Equal(9, states.All.Count);
        Assert.True(states.AddsUp);
    }

    [Fact]
    public void Four_cells_side_by_side_have_every_state_of_each_with_every_state_of_the_others()
    {
        var register = SequenceExamples.Register(new(28, -14, 6.3), CellValues.Usual, ["q1", "q2", "q3", "q4"]);
        var wired = GateWiring.Wire(register, _ => new TubePart("V", "p", "s", "g", "0", Samples.Tube()), [.. register.Inputs.Select(_ => Waveform.Steady(2))]);
        // Not the values of the network: what is searched block by block must be the circuit as it stands.
        var values = new CircuitValues(Circuit.Of(wired));
        for (var r = 0; r < values.Siemens.Length; r++) values.Siemens[r] *= 1 + 0.002 * r;
        var states = StateFinder.Find(values, cancel: TestContext.Current.CancellationToken);
        Assert.Equal(16, states.Stable.Count);
        Assert.Equal(81, states.All.Count);
        Assert.True(states.AddsUp);
        var solver = new DcSolver(values);
        Assert.All(states.All, s => Assert.Equal(s.Point.At("q3"), solver.Solve([.. s.Point.Volts])!.At("q3"), 1e-9));
        Assert.Equal(states.Stable.Count, states.Stable.DistinctBy(s => string.Concat(register.Outputs.Select(q => s.Point.At(q) > 10 ? '1' : '0'))).Count());
    }

    [Fact]
    public void A_ring_of_two_has_every_state_of_both_cells()
    {
        // The steering couples its cells hardly at all at direct current, so that three states of one go with three of the other; they are no blocks, and must be found one by one.
        var ring = SequenceExamples.Ring(new(28, -14, 6.3), CellValues.Usual, ["q1", "q2"]);
        var states = Find(GateWiring.Wire(ring, _ => new TubePart("V", "p", "s", "g", "0", Samples.Tube()), [.. ring.Inputs.Select(_ => Waveform.Steady(2))]));
        Assert.Equal(4, states.Stable.Count);
        Assert.Equal(9, states.All.Count);
        Assert.True(states.AddsUp);
    }

    private static NetworkStates Find(Network network) => StateFinder.Find(new CircuitValues(Circuit.Of(network)), cancel: TestContext.Current.CancellationToken);
}
