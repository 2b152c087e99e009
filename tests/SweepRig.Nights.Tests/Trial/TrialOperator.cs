using SweepRig.Domain;
using SweepRig.Wire.Campaign;

namespace SweepRig.Nights;

/// <summary>Comes along where a night waits for a person, some minutes later, and does what its text says: looks, acknowledges, has it go on.</summary>
/// <param name="clock">Of the night.</param>
/// <param name="violated">Takes what a person must not meet with, in words.</param>
internal sealed class TrialOperator(VirtualClock clock, Action<string> violated)
{
    private static readonly TimeSpan ComesAfter = TimeSpan.FromMinutes(3);

    /// <summary>Somebody who stands there and has had no answer for so long takes it for broken.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(1);

    private readonly Dictionary<string, TimeSpan> _waitingSince = [];

    /// <summary>How often somebody had to come.</summary>
    public int Calls { get; private set; }

    public async Task LookAsync(TrialBench bench)
    {
        foreach (var rig in bench.Rigs)
        {
            var name = rig.Station.Name;
            if (rig.Station.Night.Picture is not { IsOver: false, Night.NeedsPerson: true })
            {
                _waitingSince.Remove(name);
                continue;
            }
            if (!_waitingSince.TryGetValue(name, out var since)) _waitingSince[name] = since = clock.Elapsed;
            if (clock.Elapsed - since < ComesAfter) continue;
            if (rig.Station.Runner.State.Trip is not null)
            {
                if (!rig.Station.Runner.State.TripCauseGone || !await AnsweredAsync(name, "acknowledging", rig.Station.Runner.AcknowledgeAsync(default)).ConfigureAwait(false)) continue;
            }
            if (!await AnsweredAsync(name, "having the night go on", rig.Station.Night.GoOnAsync(default)).ConfigureAwait(false)) continue;
            Calls++;
            _waitingSince.Remove(name);
        }
    }

    private async Task<bool> AnsweredAsync<T>(string rig, string what, Task<Outcome<T>> asked)
        where T : class
    {
        try
        {
            return (await asked.WaitAsync(Patience, clock).ConfigureAwait(false)).IsAccepted;
        }
        catch (TimeoutException)
        {
            violated($"{rig}: {what} was not answered within {Patience.TotalSeconds:0} s");
            return false;
        }
    }
}
