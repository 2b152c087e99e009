using SweepRig.Domain.Rigs;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Studies;

/// <summary>Studies begun, and made anew from the runs that they left on record.</summary>
public static class StudyRecord
{
    public static IStudy Begin(RigIdentity rig, StudySetup setup) => setup switch
    {
        ExplorationSetup exploration => Exploration.Begin(rig, exploration),
        SeriesSetup series => Series.Begin(rig, series),
        WarmUpSetup warmUp => WarmUp.Begin(rig, warmUp),
        LifeSetup life => Life.Begin(rig, life),
        _ => throw new InvalidOperationException($"SweepRig bug: {setup?.GetType().Name} is no study."),
    };

    /// <summary>
    /// The study as far as its runs tell: what a show or a report begins from, and where a study that was cut off goes on. A run that did not come to its end counts only if
    /// it is the newest of its act, so that one which was made again after a restart stands in its place.
    /// </summary>
    /// <param name="runs">Runs of one study, in the order they were made; 1 or more.</param>
    /// <param name="goesOn">Leaves an unfinished last run out, so that its act is due again.</param>
    /// <exception cref="InvalidDataException">A document is damaged, or runs do not belong together.</exception>
    public static IStudy Replay(IReadOnlyList<StudyRun> runs, bool goesOn = false)
    {
        ArgumentNullException.ThrowIfNull(runs);
        if (runs.Count == 0) throw new ArgumentException("SweepRig bug: a study without runs is made anew.", nameof(runs));
        var study = Begin(runs[0].Header.Rig, StudyDocument.Read(runs[0].Header));
        foreach (var run in runs.GroupBy(r => r.Header.Study?.Step ?? -1).OrderBy(g => g.Key).Select(g => g.Last()))
        {
            if (run.Header.Study is not { } tag || tag.StudyId != study.Setup.StudyId) throw new InvalidDataException($"Run {run.Header.Id} is not of study {study.Setup.StudyId}.");
            if (goesOn && run.State is RunState.Incomplete or RunState.Running or RunState.Stopped) break;
            while (study.Next is StudyAct.Heat or StudyAct.Cool or StudyAct.WaitUntil) study = study.With(new StudyResult.Done(study.Next is StudyAct.WaitUntil wait && wait.SinceBegin > study.Elapsed ? wait.SinceBegin : study.Elapsed));
            if (study.Next is StudyAct.Finish || study.Done != tag.Step) throw new InvalidDataException($"Run {run.Header.Id} is step {tag.Step + 1} of its study, where step {study.Done + 1} is due: a run before it is missing.");
            var ended = run.Curves.Count == 0 || run.Curves[0].SampledAtTicks is not [.. var ticks] ? tag.At : tag.At + Length(ticks);
            study = study.With(new StudyResult.Ran(run, tag.At, ended));
        }
        return study;
    }

    private static TimeSpan Length(long[] ticks)
    {
        long first = 0, last = 0;
        foreach (var tick in ticks)
        {
            if (tick == 0) continue;
            if (first == 0) first = tick;
            last = tick;
        }
        return TimeSpan.FromMicroseconds(last - first);
    }
}
