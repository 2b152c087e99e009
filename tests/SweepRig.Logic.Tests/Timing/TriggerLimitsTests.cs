using SweepRig.Analysis.Tests.Spice;
using SweepRig.Logic.Export;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Logic.Timing;

namespace SweepRig.Logic.Tests.Timing;

/// <summary>How fast and how small triggers may be; a little on either side of each limit ngspice is asked whether that is so.</summary>
public sealed class TriggerLimitsTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Fact]
    public async Task The_highest_rate_of_a_toggle_is_that_of_ngspice()
    {
        var player = Player();
        var limit = TriggerLimits.ShortestPeriod(player, new("trigger", Pulses: 4), cancel: TestContext.Current.CancellationToken).Value!;
        Assert.True(limit.Works > limit.Fails && limit.Works - limit.Fails < 0.021 * limit.Works);
        Assert.DoesNotContain(false, await FollowsAsync(player, 1.1 * limit.Works / 2, 1.1 * limit.Works / 2, player.Levels.Low));
        Assert.Contains(false, await FollowsAsync(player, 0.9 * limit.Fails!.Value / 2, 0.9 * limit.Fails.Value / 2, player.Levels.Low));
    }

    [Fact]
    public async Task The_smallest_trigger_of_a_toggle_is_that_of_ngspice()
    {
        var player = Player();
        var limit = TriggerLimits.SmallestFall(player, new("trigger", Pulses: 4), 5e-6, 80e-6, cancel: TestContext.Current.CancellationToken).Value!;
        Assert.True(limit.Works > limit.Fails && limit.Works - limit.Fails <= 0.05);
        Assert.DoesNotContain(false, await FollowsAsync(player, 5e-6, 80e-6, player.Levels.High - 1.1 * limit.Works));
        Assert.Contains(false, await FollowsAsync(player, 5e-6, 80e-6, player.Levels.High - 0.9 * limit.Fails!.Value));
    }

    [Fact]
    public void A_toggle_that_no_trigger_moves_is_refused()
    {
        var player = SequencePlayer.For(SequenceExamples.Toggle(Rails, new(new(), new(Farads: 0.1e-12)), SteerPlace.Grid), _ => Part()).Value!;
        var refusal = Assert.Single(TriggerLimits.SmallestFall(player, new("trigger", Pulses: 1), 5e-6, 20e-6, cancel: TestContext.Current.CancellationToken).Refusals);
        Assert.Equal("trigger-missed", refusal.Code);
        Assert.Contains("28 V", refusal.Asked, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => TriggerLimits.Steps(["trigger"], new("clock"), 1e-6, 1e-6));
    }

    /// <summary>Whether the output has changed after each of four pulses, by ngspice.</summary>
    private static async Task<bool[]> FollowsAsync(SequencePlayer player, double low, double high, double lowVolts)
    {
        var steps = TriggerLimits.Steps(["trigger"], new("trigger", Pulses: 4), low, high);
        var wave = InputWave.Of(steps, 0, (lowVolts, player.Levels.High), 100e-9);
        var wired = GateWiring.Wire(player.Network, _ => Part(), [wave]);
        var values = new CircuitValues(Circuit.Of(wired));
        var state = StateFinder.Find(values, cancel: TestContext.Current.CancellationToken).Stable[0].Point;
        var set = NetlistWriter.NodeSet(wired.Nodes.ToDictionary(n => n, n => Math.Round(state.At(n), 3)));
        var end = steps.Sum(s => s.Seconds);
        var answer = await Ngspice.RunAsync(NetlistWriter.Write(wired) + set, FormattableString.Invariant($"tran {end * 1e6 / 1000}u {end * 1e6}u 0 {end * 1e6 / 500}u"), ["v(q)"], TestContext.Current.CancellationToken);
        bool At(double seconds) => answer.Rows.MinBy(r => Math.Abs(r[0] - seconds))![1] > player.Levels.Middle;
        return [.. Enumerable.Range(1, 4).Select(n => At(high + n * (low + high)) != At(high + (n - 1) * (low + high)))];
    }

    private static SequencePlayer Player() => SequencePlayer.For(SequenceExamples.Toggle(Rails, CellValues.Usual, SteerPlace.Grid), _ => Part()).Value!;

    private static TubePart Part() => new("V", "p", "s", "g", "0", Samples.Tube());
}
