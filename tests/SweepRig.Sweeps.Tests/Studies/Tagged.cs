using SweepRig.Sweeps.Studies;

namespace SweepRig.Sweeps.Tests.Studies;

/// <summary>Played runs as a store would give them back: with the tag that a runner writes.</summary>
internal static class Tagged
{
    public static IReadOnlyList<StudyRun> Of(StudySetup setup, PlayedBench bench)
    {
        List<StudyRun> tagged = [];
        IStudy at = StudyRecord.Begin(bench.Rig, setup);
        var results = bench.Results.GetEnumerator();
        while (at.Next is var act and not StudyAct.Finish && results.MoveNext())
        {
            if (results.Current is StudyResult.Ran ran)
            {
                var role = act switch
                {
                    StudyAct.Sweep sweep => sweep.Role,
                    StudyAct.Watch watch => watch.Role,
                    _ => throw new InvalidOperationException("a run of no act"),
                };
                tagged.Add(ran.Run with { Header = ran.Run.Header with { Study = new(setup.StudyId, setup.Kind, role, at.Done, ran.BegunAt, StudyDocument.Write(setup)) } });
            }
            at = at.With(results.Current);
        }
        return tagged;
    }
}
