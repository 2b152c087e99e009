using SweepRig.Service.Contract;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Watching;

/// <summary>
/// Decides whether a change is news. A tube's change is news with the run that first shows it: the runs before it are on record, so that a service that was started again tells nothing twice. A rail
/// changes for all tubes of its rig at once, and is news once until the tube that showed it finds it as it was.
/// </summary>
internal sealed class DriftMemory
{
    private readonly HashSet<string> _unseen = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> _rails = new(StringComparer.Ordinal);

    /// <summary>A run of the tube could not be looked at: what it may have shown is news with the next.</summary>
    public void Missed(string tube) => _unseen.Add(tube);

    /// <summary>All followed levels of a run of the tube were looked at.</summary>
    public void Seen(string tube) => _unseen.Remove(tube);

    /// <returns>The point of the run where its change is news, else null.</returns>
    public DriftPointView? News(string rig, string tube, FollowedLevel followed, string run, DriftView drift)
    {
        var at = Array.FindIndex(drift.Points, p => p.Run == run);
        if (at < 0) return null;
        var changed = HasChanged(drift.Points[at]);
        if (!changed && followed.OfRig && _rails.GetValueOrDefault(rig) == tube) _rails.Remove(rig);
        if (!changed || (at > 0 && HasChanged(drift.Points[at - 1]) && !_unseen.Contains(tube))) return null;
        return !followed.OfRig || _rails.TryAdd(rig, tube) ? drift.Points[at] : null;
    }

    private static bool HasChanged(DriftPointView point) => Math.Abs(point.OverUncertainty ?? 0) > 1;
}
