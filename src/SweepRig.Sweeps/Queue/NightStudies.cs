using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Planning;
using SweepRig.Sweeps.Studies;

namespace SweepRig.Sweeps.Queue;

/// <summary>The studies that jobs of a night ask for.</summary>
public static class NightStudies
{
    /// <param name="id">Of the study: a version 7 UUID as 32 hex digits.</param>
    /// <param name="rig">With the limits that hold while nobody is there, below which an exploration stays.</param>
    /// <param name="ratings">Of the tube's type; null where it is not known.</param>
    /// <returns>Null for work that is no study.</returns>
    public static StudySetup? Of(NightWork work, string id, Tube tube, int socket, RigIdentity rig, TypeRatings? ratings, double heaterSpeed)
    {
        ArgumentNullException.ThrowIfNull(work);
        StudySetup? setup = work switch
        {
            NightWork.Soak soak => new SoakSetup(id, tube, socket, work.Plan.Connection, soak.Every, Math.Max(1, (int)Math.Floor(soak.For / soak.Every))),
            NightWork.Repeat repeat => new RepeatSetup(id, tube, socket, work.Plan, repeat.Every, repeat.Times - 1),
            NightWork.WarmUp warm => new WarmUpSetup(id, tube, socket, work.Plan.Connection, warm.Times) { Watch = warm.Watch },
            NightWork.Explore explore => new ExplorationSetup(id, tube, socket, work.Plan.Connection, explore.Ceiling, ExplorationLimits.Of(rig, ratings)) { StepVolts = explore.Step.Value },
            NightWork.Life life => new LifeSetup(id, tube, socket, work.Plan.Connection, life.Cycles, life.SweepEvery) { On = life.On, Off = life.Off },
            _ => null,
        };
        return setup is null ? null : setup with { HeaterSpeed = heaterSpeed };
    }

    /// <summary>What speaks against a study; none for work that is no study.</summary>
    public static IReadOnlyList<Refusal> Faults(NightWork work, Tube tube, RigIdentity rig, TypeRatings? ratings) => Of(work, "", tube, 0, rig, ratings, 1) switch
    {
        ExplorationSetup exploration => exploration.Faults(rig, ratings),
        SeriesSetup series => series.Faults(),
        WarmUpSetup warmUp => warmUp.Faults(),
        LifeSetup life => life.Faults(),
        _ => [],
    };
}
