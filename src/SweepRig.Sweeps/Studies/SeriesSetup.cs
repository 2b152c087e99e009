using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Studies;
using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Studies;

/// <summary>The same sweep again and again.</summary>
/// <param name="Every">From one sweep to the next, by the monotonic clock.</param>
/// <param name="Count">Sweeps after those of the beginning.</param>
public abstract record SeriesSetup(string StudyId, Tube Tube, int Socket, Connection Fixture, TimeSpan Every, int Count) : StudySetup(StudyId, Tube, Socket, Fixture)
{
    public const int MostSweeps = 10_000;

    public static TimeSpan LeastEvery { get; } = TimeSpan.FromSeconds(5);

    public static TimeSpan MostEvery { get; } = TimeSpan.FromHours(24);

    /// <summary>Hot before the first sweep; default 60 s (common practice, no source).</summary>
    public TimeSpan Settle { get; init; } = TimeSpan.FromSeconds(60);

    /// <summary>Sweeps at the beginning, <see cref="Close"/> apart, that the others are held against.</summary>
    public abstract int AtFirst { get; }

    public TimeSpan Close { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>Draws current at 0 V drive between sweeps.</summary>
    public virtual bool Draws => false;

    public abstract SweepPlan PlanFor(RigIdentity rig);

    /// <summary>When each sweep is due, from the end of the settling.</summary>
    public TimeSpan DueAt(int sweep) => sweep < AtFirst ? sweep * Close : Math.Max(0, AtFirst - 1) * Close + (sweep - AtFirst + 1) * Every;

    public int Sweeps => AtFirst + Count;

    /// <summary>Every reason against it.</summary>
    public IReadOnlyList<Refusal> Faults()
    {
        List<Refusal> faults = [];
        if (Every < LeastEvery || Every > MostEvery)
            faults.Add(new("study-interval", "/everyMinutes", FormattableString.Invariant($"a sweep every {Every.TotalMinutes:0.###} min was asked for"), FormattableString.Invariant($"{LeastEvery.TotalSeconds:0} s to {MostEvery.TotalHours:0} h is allowed"), "Take for example 10 min."));
        if (Count < 1 || Count > MostSweeps)
            faults.Add(new("study-count", "/count", $"{Count} sweeps were asked for", $"1 to {MostSweeps} are allowed", "Ask for fewer, or further apart."));
        return faults;
    }
}

/// <summary>The tube hot for hours, measured now and again: what it drifts, and whether it comes to rest.</summary>
/// <param name="DrawsCurrent">At 0 V drive between sweeps; otherwise the rail is off between them, as where a gate is not used.</param>
public sealed record SoakSetup(string StudyId, Tube Tube, int Socket, Connection Fixture, TimeSpan Every, int Count, bool DrawsCurrent = false)
    : SeriesSetup(StudyId, Tube, Socket, Fixture, Every, Count)
{
    public override StudyKind Kind => StudyKind.Soak;

    public override int AtFirst => 5;

    public override bool Draws => DrawsCurrent;

    /// <summary>Drift of the grid, either way, below which a tube counts as settled, V an hour; default 1 mV, which is 0.05 V in two days (illustrative).</summary>
    public double SettledVoltsPerHour { get; init; } = 1e-3;

    public override SweepPlan PlanFor(RigIdentity rig) => StudyPlans.Reference(rig, Fixture);
}

/// <summary>A plan of one's own every so many minutes: how well it repeats.</summary>
/// <param name="Plan">Where it goes positive a permit is needed all along.</param>
public sealed record RepeatSetup(string StudyId, Tube Tube, int Socket, SweepPlan Plan, TimeSpan Every, int Count)
    : SeriesSetup(StudyId, Tube, Socket, Plan.Connection, Every, Count)
{
    public override StudyKind Kind => StudyKind.Repeat;

    public override int AtFirst => 1;

    public override SweepPlan PlanFor(RigIdentity rig) => Plan;
}
