using SweepRig.Wire.Campaign;

namespace SweepRig.Nights;

/// <summary>Comes along where a night waits for a person, some minutes later, and does what its text says: looks, acknowledges, has it go on.</summary>
internal sealed class TrialOperator(VirtualClock clock)
{
    private static readonly TimeSpan ComesAfter = TimeSpan.FromMinutes(3);

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
                if (!rig.Station.Runner.State.TripCauseGone || !(await rig.Station.Runner.AcknowledgeAsync(default).ConfigureAwait(false)).IsAccepted) continue;
            }
            if (!(await rig.Station.Night.GoOnAsync(default).ConfigureAwait(false)).IsAccepted) continue;
            Calls++;
            _waitingSince.Remove(name);
        }
    }
}
