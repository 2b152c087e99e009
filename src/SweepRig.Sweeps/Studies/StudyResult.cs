using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;

namespace SweepRig.Sweeps.Studies;

/// <summary>A run of a study as the study takes it.</summary>
/// <param name="Header">Its <see cref="RunHeader.Study"/> is not null once it is on record.</param>
/// <param name="State">How it ended.</param>
/// <param name="Curves">One a pass that has samples, in order.</param>
/// <param name="Trips">Interlocks that fired.</param>
public sealed record StudyRun(RunHeader Header, RunState State, IReadOnlyList<Curve> Curves, IReadOnlyList<Trip> Trips);

/// <summary>What became of an act.</summary>
/// <param name="At">When it was over, since the study began, by the monotonic clock.</param>
public abstract record StudyResult(TimeSpan At)
{
    /// <summary>Of a sweep or a watch.</summary>
    /// <param name="BegunAt">When the run was begun, on the same clock.</param>
    public sealed record Ran(StudyRun Run, TimeSpan BegunAt, TimeSpan At) : StudyResult(At);

    /// <summary>Of anything else.</summary>
    public sealed record Done(TimeSpan At) : StudyResult(At);

    /// <summary>The bench would not do it. The study ends with that.</summary>
    public sealed record Refused(IReadOnlyList<Refusal> Reasons, TimeSpan At) : StudyResult(At);
}
