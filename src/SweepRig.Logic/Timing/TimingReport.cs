using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Margins;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Timing;

/// <summary>How late an output answers an input. A path whose edges come from different states stands several times.</summary>
/// <param name="Others">What all inputs are meanwhile, in the order of the network; that of the input itself changes.</param>
/// <param name="Delays">One or two.</param>
public sealed record PathDelay(string Input, string Output, IReadOnlyList<bool> Others, IReadOnlyList<EdgeDelay> Delays);

/// <summary>How fast and how small the edges of an input may be.</summary>
/// <param name="Pattern">As it was played.</param>
/// <param name="Period">Seconds, at full swing; null when refused.</param>
/// <param name="Fall">Volts, with the pulse in <paramref name="WidthSeconds"/>; null when refused.</param>
/// <param name="WidthSeconds">For how long it was low while its size was looked for.</param>
public sealed record TriggerReport(TriggerPattern Pattern, LimitBracket? Period, LimitBracket? Fall, double WidthSeconds);

/// <summary>Everything that time and supplies ask of a network, with the very tubes that it is to have.</summary>
/// <param name="Levels">What stands for low and high.</param>
/// <param name="Delays">Every input with every output that answers it.</param>
/// <param name="Triggers">Every input whose edges count.</param>
/// <param name="Needs">What it takes at rest; null when refused.</param>
/// <param name="Refused">Why something is missing here.</param>
/// <param name="Waves">The slowest path, and every trigger at its shortest period.</param>
public sealed record TimingReport(
    ChainLevels Levels, IReadOnlyList<PathDelay> Delays, IReadOnlyList<TriggerReport> Triggers, NetworkNeeds? Needs, IReadOnlyList<Refusal> Refused, IReadOnlyList<TimingWave> Waves)
{
    /// <param name="tube">For each place of <see cref="GateNetwork.Positions"/>.</param>
    /// <returns>Refused when a chain of its stages restores no levels.</returns>
    public static Outcome<TimingReport> Of(GateNetwork network, Func<string, TubePart> tube, CancellationToken cancel = default)
    {
        var made = SequencePlayer.For(network, tube);
        if (made.Value is not { } player) return Outcome<TimingReport>.Refuse(made.Refusals);
        var (delays, triggers, refused, waves) = (new List<PathDelay>(), new List<TriggerReport>(), new List<Refusal>(), new List<TimingWave>());
        TimingWave? slowest = null;
        foreach (var input in network.Inputs)
        {
            foreach (var output in network.Outputs)
            {
                foreach (var stimulus in Stimulus.Covering(network, input, output))
                {
                    if (Kept(EdgeDelays.Play(player, input, stimulus, null, cancel)) is not { } run || EdgeDelays.Of(run, input, output) is not { Count: > 0 } found) continue;
                    delays.Add(new(input, output, stimulus.Low, found));
                    var longest = found.MaxBy(d => d.Seconds)!;
                    if (!(longest.Seconds <= slowest?.Path!.Seconds)) slowest = TimingWave.Of(run.Transient, input, output, longest);
                }
            }
        }
        if (slowest is not null) waves.Add(slowest);
        foreach (var input in network.Inputs.Where(i => network.Steers.Any(s => s.Trigger == i)))
        {
            // Data change from edge to edge, so that each has something to do; what clears or starts stays low.
            var pattern = new TriggerPattern(input, Alternating: [.. network.Inputs.Where(i => i != input && network.Steers.Any(s => s.Level == i))]);
            var period = Kept(TriggerLimits.ShortestPeriod(player, pattern, cancel: cancel));
            var width = 0.5 * (period?.Works ?? 0);
            var fall = period is null ? null : Kept(TriggerLimits.SmallestFall(player, pattern, width, 4 * period.Works, cancel: cancel));
            triggers.Add(new(pattern, period, fall, width));
            if (period is not null && TriggerLimits.PlayAt(player, pattern, period.Works, cancel) is { } played) waves.Add(TimingWave.Of(played.Transient, [input, .. network.Outputs]));
        }
        return Outcome<TimingReport>.Accept(new(player.Levels, delays, triggers, Kept(NetworkNeeds.Of(network, tube, cancel)), refused, waves));

        T? Kept<T>(Outcome<T> outcome)
            where T : class
        {
            refused.AddRange(outcome.Refusals);
            return outcome.Value;
        }
    }
}
