using SweepRig.Domain;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Timing;

/// <summary>From one signal passing half of its swing to another doing so.</summary>
/// <param name="AtSeconds">Moment of the first.</param>
/// <param name="CauseRises">The first goes up.</param>
/// <param name="EffectRises">The other goes up.</param>
/// <param name="Seconds">Between them, above 0.</param>
public sealed record EdgeDelay(double AtSeconds, bool CauseRises, bool EffectRises, double Seconds);

/// <summary>Propagation delays, from 50 % to 50 % of the restored levels.</summary>
public static class EdgeDelays
{
    private const int MostDoublings = 14;
    private const double FirstHoldSeconds = 5e-6, SettledShare = 0.01;

    /// <summary>Every edge of one signal that another answers before the first has its next edge.</summary>
    /// <param name="level">That counts as passed, the same for both. Unit: V.</param>
    public static IReadOnlyList<EdgeDelay> Of(Transient transient, string cause, string effect, double level)
    {
        ArgumentNullException.ThrowIfNull(transient);
        double[] edges = [.. transient.Crossings(cause, level)], answers = [.. transient.Crossings(effect, level)];
        var delays = new List<EdgeDelay>();
        for (var n = 0; n < edges.Length; n++)
        {
            var until = n + 1 < edges.Length ? edges[n + 1] : double.PositiveInfinity;
            var answer = Array.FindIndex(answers, a => a > edges[n] && a <= until);
            if (answer < 0) continue;
            delays.Add(new(edges[n], Rises(transient, cause, edges[n]), Rises(transient, effect, answers[answer]), answers[answer] - edges[n]));
        }
        return delays;
    }

    /// <summary>One input goes high and low again; the network comes to rest in between.</summary>
    /// <param name="input">Of the network.</param>
    /// <param name="output">Any signal that a gate makes.</param>
    /// <param name="others">What all inputs are; that of <paramref name="input"/> itself is not read.</param>
    /// <returns>One or two delays, from the state in which it answers most; empty when the output does not answer this input.</returns>
    /// <exception cref="ArgumentException">The network has no such input.</exception>
    public static Outcome<IReadOnlyList<EdgeDelay>> Measure(SequencePlayer player, string input, string output, IReadOnlyList<bool> others, SequenceOptions? options = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(player);
        ArgumentNullException.ThrowIfNull(others);
        return (Stimulus.Of(player.Network, input, output, others) is [var first, ..] ? Play(player, input, first, options, cancel) : NoRest(player, input)).Map(run => Of(run, input, output));
    }

    /// <summary>Between half the swing of both.</summary>
    internal static IReadOnlyList<EdgeDelay> Of(SequenceRun run, string input, string output) => Of(run.Transient, input, output, 0.5 * (run.Levels.Low + run.Levels.High));

    /// <summary>Played so slowly that everything comes to rest after each edge.</summary>
    internal static Outcome<SequenceRun> Play(SequencePlayer player, string input, Stimulus stimulus, SequenceOptions? options, CancellationToken cancel)
    {
        var hold = FirstHoldSeconds;
        for (var n = 0; n < MostDoublings; n++, hold *= 2)
        {
            var played = player.Play([new(stimulus.Low, hold), new(stimulus.High, hold), new(stimulus.Low, hold)], stimulus.Start, options, cancel);
            if (played.Value is not { } run || Rests(run.Transient, hold, SettledShare * (player.Levels.High - player.Levels.Low))) return played;
        }
        return NoRest(player, input);
    }

    private static Outcome<SequenceRun> NoRest(SequencePlayer player, string input) => Outcome<SequenceRun>.Refuse(new Refusal(
        "no-rest", "", $"{player.Network.Name} does not come to rest after {input} changes", "a delay is told between states of rest", "Look at its transient, or take another input."));

    // Every node has to stand still before the next edge, steering too: an edge that comes too soon does less than it should.
    private static bool Rests(Transient transient, double hold, double still) =>
        transient.Circuit.Nodes.Skip(1).All(n => Enumerable.Range(1, 3).All(step => Math.Abs(transient.At(n, step * hold) - transient.At(n, (step - 0.3) * hold)) < still));

    private static bool Rises(Transient transient, string node, double at)
    {
        var (seconds, volts) = (transient.Seconds, transient.Of(node));
        var after = Array.FindIndex(seconds, s => s >= at);
        return volts[after] > volts[Math.Max(0, after - 1)];
    }
}
