namespace SweepRig.Domain.Studies;

/// <summary>What is done to a tube beyond a sweep, and finished only when several runs were made.</summary>
public enum StudyKind
{
    /// <summary>How far the grid may go positive.</summary>
    Exploration,

    /// <summary>Hot for hours, measured now and again.</summary>
    Soak,

    /// <summary>How long the cathode takes from cold.</summary>
    WarmUp,

    /// <summary>Heater on and off many times, measured now and again.</summary>
    Life,

    /// <summary>The same sweep every so many minutes.</summary>
    Repeat,
}

/// <summary>What a run of a study was made for.</summary>
public enum StudyRole
{
    /// <summary>Before anything was done to the tube: what later references are held against.</summary>
    Baseline,

    /// <summary>The study's own measurement.</summary>
    Measure,

    /// <summary>Whether the tube still is as it was.</summary>
    Reference,

    /// <summary>Watched from the moment that the heater was switched on.</summary>
    Watch,
}

/// <summary>Which study a run belongs to.</summary>
/// <param name="StudyId">The same for all its runs: a version 7 UUID as 32 hex digits.</param>
/// <param name="Step">Place among the acts of the study, from 0.</param>
/// <param name="At">When it was begun, since the study began, by the monotonic clock.</param>
/// <param name="Setup">What the study was asked to do, as its document: the same text in all its runs.</param>
public sealed record StudyTag(string StudyId, StudyKind Kind, StudyRole Role, int Step, TimeSpan At, string Setup);
