using SweepRig.Domain.Runs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Stock;

namespace SweepRig.Service.Watching;

/// <summary>
/// Decides whether a change is news. A tube's change is news with the run that first shows it. A rail changes for all tubes of its rig at once, and is news once until the tube that showed it finds it
/// as it was.
/// </summary>
internal sealed class DriftMemory
{
    private readonly Dictionary<(string Tube, Connection Circuit), TubeCourse> _courses = [];
    private readonly HashSet<string> _unseen = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> _rails = new(StringComparer.Ordinal);

    /// <summary>A run of the tube could not be looked at: what it may have shown is news with the next.</summary>
    public void Missed(string tube) => _unseen.Add(tube);

    /// <summary>A run of the tube was looked at.</summary>
    public void Seen(string tube) => _unseen.Remove(tube);

    /// <returns>What is known of the tube in the circuit of the run; null where nothing was looked at since the service began.</returns>
    public TubeCourse? Course(RunHeader run) => _courses.GetValueOrDefault(KeyOf(run));

    /// <summary>Takes up a tube in a circuit, from what is on record of it.</summary>
    public void TakeUp(RunHeader run, TubeCourse course)
    {
        // What the store says of the run before was told only if that run was looked at.
        if (_unseen.Contains(run.Tube.Label)) course.ForgetChanges();
        _courses[KeyOf(run)] = course;
    }

    /// <returns>Whether what this run found of a level is news.</returns>
    public bool IsNews(string rig, string tube, FollowedLevel followed, CourseStep step)
    {
        if (!step.Point.HasChanged && followed.OfRig && _rails.GetValueOrDefault(rig) == tube) _rails.Remove(rig);
        if (!step.Point.HasChanged || step.HadChanged) return false;
        return !followed.OfRig || _rails.TryAdd(rig, tube);
    }

    private static (string Tube, Connection Circuit) KeyOf(RunHeader run) => (run.Tube.Label, run.Plan.Connection);
}
