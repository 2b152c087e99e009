using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Logic.Timing;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Tests.Timing;

public sealed class StartRegionsTests
{
    [Fact]
    public void Two_like_tubes_part_on_the_diagonal()
    {
        var regions = For(Samples.Bistable());
        Assert.Equal(2, regions.States.Count);
        double[] volts = [0, 7, 14, 21, 28];
        var map = regions.Map(volts, volts, TestContext.Current.CancellationToken);
        for (var up = 0; up < volts.Length; up++)
        {
            for (var across = 0; across < volts.Length; across++)
            {
                // The plate that starts higher stays so: by the symmetry of the circuit alone. On the diagonal nothing decides.
                if (across == up) continue;
                var state = regions.States[map.LeadsTo[up][across]!.Value].Point;
                Assert.Equal(volts[across] > volts[up], state.At("p") > state.At("q"));
            }
        }
        var divide = regions.Divide((28, 10), (0, 10), TestContext.Current.CancellationToken).Value!;
        Assert.Equal(10, divide.Before.Across, 2e-3);
        Assert.Equal(10, divide.After.Across, 2e-3);
        Assert.NotEqual(divide.StateBefore, divide.StateAfter);
    }

    [Fact]
    public void A_weaker_tube_moves_the_divide()
    {
        // The plate of a weak tube is harder to pull down: from equal plates it stays up.
        var weak = Samples.Tube(ExampleTubes.Sound6AU6 with { Perveance = 0.8 * ExampleTubes.Sound6AU6.Perveance });
        var regions = For(Samples.Bistable(first: weak));
        var state = regions.States[regions.LeadsTo(14, 14, TestContext.Current.CancellationToken)!.Value].Point;
        Assert.True(state.At("p") > state.At("q"));
        var divide = regions.Divide((28, 14), (0, 14), TestContext.Current.CancellationToken).Value!;
        Assert.True(divide.Before.Across < 11);
        Assert.True(Math.Abs(divide.Before.Across - divide.After.Across) <= 1e-3);
    }

    [Fact]
    public void What_cannot_be_asked_is_refused()
    {
        var values = new CircuitValues(Circuit.Of(Samples.Bistable()));
        Assert.Equal("node-held", Assert.Single(StartRegions.For(values, "p", "B", TestContext.Current.CancellationToken).Refusals).Code);
        Assert.Equal("no-stable-state", Assert.Single(StartRegions.For(new CircuitValues(Circuit.Of(Samples.Ring(3))), "p0", "p1", TestContext.Current.CancellationToken).Refusals).Code);
        Assert.Equal("no-divide", Assert.Single(For(Samples.Bistable()).Divide((28, 0), (27, 0), TestContext.Current.CancellationToken).Refusals).Code);
    }

    private static StartRegions For(Network network)
    {
        var outcome = StartRegions.For(new CircuitValues(Circuit.Of(network)), "p", "q", TestContext.Current.CancellationToken);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }
}
