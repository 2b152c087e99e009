using SweepRig.Analysis.Tests.Spice;
using SweepRig.Logic.Export;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Tests.Support;
using SweepRig.Logic.Timing;

namespace SweepRig.Logic.Tests.Timing;

/// <summary>Every storing network in time, with its capacitances, from every state in which it can rest.</summary>
public sealed class SequencePlayerTests
{
    private static readonly GateRails Rails = new(28, -14, 6.3);

    [Theory]
    [InlineData("toggle", false)]
    [InlineData("toggle", true)]
    [InlineData("toggle-at-plates", false)]
    [InlineData("toggle-at-plates", true)]
    public void A_toggle_divides_by_two_from_every_start(string word, bool triode) => Right(word, triode, new("trigger", Pulses: 6));

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_clocked_cell_follows_its_data(bool triode) => Right("clocked", triode, new("clock", Pulses: 6, Alternating: ["data"]));

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_ring_stage_follows_the_stage_before(bool triode) => Right("ring-stage", triode, new("clock", Pulses: 4, Alternating: ["before"]));

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_register_takes_its_bits_over(bool triode) => Right("register", triode, new("clock", Pulses: 2, Alternating: ["q1_d", "q3_d"]), starts: 2);

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_row_moves_its_bits_on(bool triode) => Right("shift-register", triode, new("clock", Pulses: 5, Alternating: ["data"]), starts: 3);

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_ring_is_started_and_goes_round(bool triode)
    {
        var network = Make("ring", triode);
        var player = Player(network);
        List<SequenceStep> steps = [new([true, false], 50e-6), new([true, true], 50e-6), new([true, false], 50e-6)];
        for (var pulse = 0; pulse < 5; pulse++) steps.AddRange([new([false, false], 50e-6), new([true, false], 50e-6)]);
        var starts = player.Starts(steps[0].Inputs);
        Assert.Equal(16, starts.Count);
        foreach (var start in (IReadOnlyDictionary<string, bool>[])[starts[0], starts[5], starts[^1]])
        {
            var run = Play(player, steps, start);
            Assert.Null(run.Rows.FirstOrDefault(r => r.Wrong is not null));
            // One is high, and the next after each pulse.
            for (var pulse = 0; pulse <= 5; pulse++)
                Assert.Equal([.. Enumerable.Range(0, 4).Select(n => n == pulse % 4)], network.Outputs.Select(o => run.Rows[2 + 2 * pulse].Volts[o] > run.Levels.Middle));
        }
    }

    [Fact]
    public void A_latch_is_set_and_reset_and_keeps_it()
    {
        var network = GateExamples.Latch(Rails, new());
        var player = Player(network);
        bool[][] rows = [[false, false], [true, false], [false, false], [false, true], [false, false]];
        SequenceStep[] steps = [.. rows.Select(r => new SequenceStep(r, 20e-6))];
        foreach (var start in player.Starts([false, false]))
        {
            var run = Play(player, steps, start);
            Assert.True(run.IsRight);
            Assert.Equal([true, true, false, false], run.Rows.Skip(1).Select(r => r.Volts["q"] > run.Levels.Middle));
        }
    }

    [Fact]
    public void A_toggle_without_its_steering_misses_every_pulse_and_is_told_so()
    {
        var player = Player(Make("toggle", false) with { Steers = [] });
        var steps = TriggerLimits.Steps(["trigger"], new("trigger", Pulses: 2), 50e-6, 50e-6);
        // By its rules a pair without edges stays; the steered one is what is wanted of it.
        var run = Play(player, steps, player.Starts([true])[0]);
        Assert.True(run.IsRight);
        Assert.All(run.Rows, r => Assert.Equal(run.Rows[0].Volts["q"] > run.Levels.Middle, r.Volts["q"] > run.Levels.Middle));
        // One whose capacitor hands on too little is wrong.
        var weak = Player(SequenceExamples.Toggle(Rails, new(new(), new(Farads: 1e-12)), SteerPlace.Grid));
        var missed = Play(weak, steps, weak.Starts([true])[0]);
        Assert.False(missed.IsRight);
        Assert.NotNull(missed.Rows[1].Wrong);
    }

    [Fact]
    public void A_pair_that_rests_at_direct_current_alone_is_refused()
    {
        // Values that suit a pentode leave the other triode conducting. The dividers lose half of the gain, so that direct voltages balance; the capacitors across them hand on all
        // of it, and the pair swings. Its balances have two time constants that grow.
        var network = SequenceExamples.Toggle(Rails, new(new StageValues { IsTriode = true }, new()), SteerPlace.Grid);
        var player = Player(network);
        var outcome = player.Play(TriggerLimits.Steps(["trigger"], new("trigger", Pulses: 1), 50e-6, 50e-6), player.Starts([true])[0], cancel: TestContext.Current.CancellationToken);
        Assert.Equal("no-such-start", Assert.Single(outcome.Refusals).Code);
        var states = StateFinder.Find(new CircuitValues(Circuit.Of(GateWiring.Wire(network, _ => Part(), [Waveform.Steady(24)]))), cancel: TestContext.Current.CancellationToken);
        Assert.Equal(5, states.All.Count);
        Assert.Empty(states.Stable);
    }

    [Theory]
    [InlineData("latch")]
    [InlineData("toggle")]
    [InlineData("toggle-at-plates")]
    [InlineData("clocked")]
    [InlineData("ring-stage")]
    [InlineData("ring")]
    [InlineData("register")]
    [InlineData("shift-register")]
    public async Task Ngspice_goes_the_same_way(string word)
    {
        // Rows of two: a simulator that does not share our tables takes long over more.
        string[] two = ["q1", "q2"];
        var network = word switch
        {
            "latch" => GateExamples.Latch(Rails, new()),
            "ring" => SequenceExamples.Ring(Rails, CellValues.Usual, two),
            "register" => SequenceExamples.Register(Rails, CellValues.Usual, two),
            "shift-register" => SequenceExamples.ShiftRegister(Rails, CellValues.Usual, two),
            _ => Make(word, false),
        };
        var player = Player(network);
        var trigger = network.Inputs.FirstOrDefault(i => i is "trigger" or "clock") ?? "reset";
        string[] data = [.. network.Inputs.Where(i => i is "data" or "before" or "q1_d" or "set")];
        var steps = TriggerLimits.Steps(network.Inputs, new(trigger, Pulses: 2, Alternating: data), 40e-6, 40e-6);
        var run = Play(player, steps, player.Starts(steps[0].Inputs)[^1], new() { Transient = new() });
        var wired = run.Transient.Circuit.Network;
        var end = steps.Sum(s => s.Seconds);
        var set = NetlistWriter.NodeSet(wired.Nodes.ToDictionary(n => n, n => Math.Round(run.Transient.At(n, 0), 3)));
        var answer = await Ngspice.RunAsync(NetlistWriter.Write(wired) + set, FormattableString.Invariant($"tran 0.1u {end * 1e6}u 0 0.4u"), network.Outputs.Select(o => $"v({o})"), TestContext.Current.CancellationToken);
        foreach (var (output, column) in network.Outputs.Select((o, at) => (o, at + 1)))
        {
            var theirs = new Transient(run.Transient.Circuit, [.. answer.Rows.Select(r => r[0])], [.. run.Transient.Circuit.Nodes.Select(n => answer.Rows.Select(r => n == output ? r[column] : 0).ToArray())]);
            foreach (var row in run.Rows) Assert.Equal(theirs.At(output, row.EndSeconds), row.Volts[output], 0.05);
            double[] mine = [.. run.Transient.Crossings(output, run.Levels.Middle)], other = [.. theirs.Crossings(output, run.Levels.Middle)];
            Assert.Equal(other.Length, mine.Length);
            // The first answer to an edge comes after about a microsecond.
            foreach (var (a, b) in mine.Zip(other)) Assert.Equal(b, a, 20e-9);
        }
    }

    private static void Right(string word, bool triode, TriggerPattern pattern, int starts = 8)
    {
        var network = Make(word, triode);
        var player = Player(network);
        var steps = TriggerLimits.Steps(network.Inputs, pattern, 50e-6, 50e-6);
        var all = player.Starts(steps[0].Inputs);
        Assert.True(all.Count >= 2);
        // Spread over all of them where there are many.
        foreach (var start in Enumerable.Range(0, Math.Min(starts, all.Count)).Select(n => all[n * all.Count / Math.Min(starts, all.Count)]))
        {
            var run = Play(player, steps, start);
            var wrong = run.Rows.FirstOrDefault(r => r.Wrong is not null);
            Assert.True(wrong is null, $"{word}: {wrong?.Wrong} is wrong at {wrong?.EndSeconds} s, from {string.Join(' ', start)}");
            Assert.True(run.IsRight);
        }
    }

    private static GateNetwork Make(string word, bool triode) => SequenceExamples.All.Single(e => e.Word == word).Make(Rails, triode ? StageValues.UsualTriode : new());

    private static SequencePlayer Player(GateNetwork network)
    {
        var outcome = SequencePlayer.For(network, _ => Part());
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }

    private static SequenceRun Play(SequencePlayer player, IReadOnlyList<SequenceStep> steps, IReadOnlyDictionary<string, bool> start, SequenceOptions? options = null)
    {
        var outcome = player.Play(steps, start, options, TestContext.Current.CancellationToken);
        Assert.True(outcome.IsAccepted, string.Join("; ", outcome.Refusals));
        return outcome.Value;
    }

    private static TubePart Part() => new("V", "p", "s", "g", "0", Samples.Tube());
}
