using SweepRig.Domain;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Stations;

/// <summary>The order to be safe, to all rigs at once. A rig that does not answer keeps neither the others nor the asker waiting.</summary>
public sealed class SafeForAll(StationList stations, TimeProvider time)
{
    /// <summary>How long the answer of a rig is waited for. A rig needs a fraction of a second, and whoever asked must hear soon.</summary>
    public static TimeSpan Patience { get; } = TimeSpan.FromSeconds(1.5);

    /// <returns>
    /// The first bench, or a refusal for each rig that did not confirm; the order has gone to all. A rig that was never reached since the start cannot confirm, and is
    /// no reason to say of the others that they are not safe.
    /// </returns>
    public async Task<Outcome<BenchState>> MakeSafeAsync(string reason, CancellationToken cancellationToken)
    {
        var asked = stations.Select(s => (Station: s, Answer: AskAsync(s, reason))).ToArray();
        var reached = asked.Where(a => a.Station.Runner.State.Link != RigLinkState.Connecting).ToArray();
        var answers = await Task.WhenAll((reached.Length > 0 ? reached : asked).Select(a => a.Answer)).WaitAsync(cancellationToken);
        Refusal[] faults = [.. answers.SelectMany(a => a.Refusals)];
        return faults.Length > 0 ? Outcome<BenchState>.Refuse(faults) : Outcome<BenchState>.Accept(stations.Default.Runner.State);
    }

    private async Task<Outcome<BenchState>> AskAsync(Station station, string reason)
    {
        try
        {
            // Not cancelled with whoever asked: the order stands.
            var answer = await station.Runner.MakeSafeAsync(reason, CancellationToken.None).WaitAsync(Patience, time);
            return answer.IsAccepted || stations.Count == 1 ? answer : Outcome<BenchState>.Refuse([.. answer.Refusals.Select(r => r with { Asked = $"rig {station.Name}: {r.Asked}" })]);
        }
        catch (TimeoutException)
        {
            return Outcome<BenchState>.Refuse(new Refusal(
                "safe-not-confirmed", "", $"rig {station.Name} was ordered to be safe", FormattableString.Invariant($"it has not confirmed it within {Patience.TotalSeconds} s"),
                stations.Count == 1 ? "Switch its supply off by hand." : "Switch its supply off by hand; the others were ordered too."));
        }
    }
}
