using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Tests.Support;
using SweepRig.Logic.Yield;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Logic.Tests.Yield;

public sealed class YieldRunTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Fact]
    public void A_half_adder_with_room_to_spare_is_always_right()
    {
        var result = Run(GateExamples.HalfAdder(Rails, new()), Tolerances.Usual, 400);
        Assert.Equal(400, result.Good);
        // Clopper and Pearson with all of n good: the lower end is 0.025^(1/n).
        Assert.Equal(Math.Pow(0.025, 1.0 / 400), result.Low, 1e-9);
        Assert.Equal(1, result.High);
        Assert.True(result.CornerVolts < result.Distances[0]);
        Assert.Equal(result.Distances.Order(), result.Distances);
    }

    [Fact]
    public void The_same_seed_gives_the_same_trials()
    {
        var wide = new Tolerances(0.2, 0.15, 0.3, 0.2, 0.5);
        var network = GateExamples.Buffer(Rails, new());
        Assert.Equal(Run(network, wide, 200).Distances, Run(network, wide, 200).Distances);
    }

    [Fact]
    public void Wider_tolerances_yield_less_and_say_what_weighs_most()
    {
        // The rails alone vary: nothing else can weigh.
        var rails = Run(GateExamples.Inverter(Rails, new()), new(0, 0.03, 0, 0, 0), 300);
        Assert.Equal(["bias rail", "plate rail"], rails.Weights.Select(w => w.Part).Order());
        Assert.Equal(1, rails.Weights.Sum(w => w.Share), 0.1);
        var wide = Run(GateExamples.HalfAdder(Rails, new()), new(0.3, 0.2, 0.3, 0.3, 0.8), 300);
        Assert.InRange(wide.Good, 1, 299);
        Assert.True(wide.Low < wide.Share && wide.Share < wide.High);
    }

    [Fact]
    public void No_trial_is_worse_than_the_corner_of_its_tolerances()
    {
        // Resistors and rails have ends; with the tubes as they are, no trial can go beyond the corner.
        var result = Run(GateExamples.HalfAdder(Rails, new()), new(0.05, 0.05, 0, 0, 0), 500);
        Assert.True(result.CornerVolts <= result.Distances[0], $"{result.CornerVolts} {result.Distances[0]}");
    }

    [Fact]
    public void A_network_that_is_wrong_when_nominal_is_refused()
    {
        var outcome = YieldRun.Run(GateExamples.HalfAdder(Rails, new()), p => p == "V_sum_1" ? Part(1e-4) : Part(), Tolerances.Usual, 10, 1, cancel: TestContext.Current.CancellationToken);
        var refusal = Assert.Single(outcome.Refusals);
        Assert.Equal("wrong-when-nominal", refusal.Code);
        Assert.Contains("sum", refusal.Asked, StringComparison.Ordinal);
    }

    private static YieldResult Run(GateNetwork network, Tolerances tolerances, int trials)
    {
        var outcome = YieldRun.Run(network, _ => Part(), tolerances, trials, 7, cancel: TestContext.Current.CancellationToken);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }

    private static TubePart Part(double emission = 0.12) => new("V", "p", "s", "g", "0", Samples.Tube(ExampleTubes.Sound6AU6 with { Emission = emission }));
}
