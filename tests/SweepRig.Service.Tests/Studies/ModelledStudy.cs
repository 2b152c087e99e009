using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Sweeps.Studies;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Tests.Studies;

/// <summary>An exploration as a rig would have recorded it, of a tube whose constants are known; no clock is in it.</summary>
internal static class ModelledStudy
{
    public static ExplorationSetup Setup(double ceiling = 24) => new(
        "0195b0c0000070008000000000000001", new("SKUA-014", "6AU6", "Skua"), 0, PlanExamples.GentlePentode.Plan.Connection, new(ceiling), ExplorationLimits.Of(Examples.Rig, null));

    /// <param name="tubeAt">Constants at an act, from 0; null for a sound tube all along.</param>
    /// <param name="acts">Acts done at most: a study that was cut off.</param>
    public static async Task<IStudy> StoreAsync(RunStore store, ExplorationSetup? setup = null, Func<int, TubeParameters>? tubeAt = null, int acts = int.MaxValue)
    {
        IStudy study = Exploration.Begin(Examples.Rig, setup ?? Setup());
        while (study.Next is var act and not StudyAct.Finish && study.Done < acts)
        {
            switch (act)
            {
                case StudyAct.WaitUntil wait:
                    study = study.With(new StudyResult.Done(wait.SinceBegin));
                    break;
                case StudyAct.Sweep sweep:
                    var run = new ModelledRun(sweep.Plan)
                    {
                        StartedUtc = Examples.Started + study.Elapsed,
                        Seed = study.Done,
                        Tube = tubeAt?.Invoke(study.Done) ?? ExampleTubes.Sound6AU6,
                        Study = new(study.Setup.StudyId, study.Setup.Kind, sweep.Role, study.Done, study.Elapsed, StudyDocument.Write(study.Setup)),
                    };
                    await run.StoreAsync(store);
                    var recorded = run.Recorded();
                    study = study.With(new StudyResult.Ran(new(recorded.Header, recorded.Record.State, recorded.Curves, []), study.Elapsed, study.Elapsed + TimeSpan.FromSeconds(1)));
                    break;
                default:
                    study = study.With(new StudyResult.Done(study.Elapsed));
                    break;
            }
        }
        return study;
    }
}
