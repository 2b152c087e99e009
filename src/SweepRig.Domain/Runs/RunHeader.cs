using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;

namespace SweepRig.Domain.Runs;

/// <summary>All that is known of a run before its first sample.</summary>
/// <param name="Id">Sortable by time: a version 7 UUID (RFC 9562) as 32 hex digits.</param>
/// <param name="Passes">The passes in the order they are run.</param>
/// <param name="Permit">The permit in force at the start, as it was logged; null for none.</param>
public sealed record RunHeader(
    string Id,
    DateTimeOffset StartedUtc,
    Tube Tube,
    int Socket,
    SweepPlan Plan,
    IReadOnlyList<PassHeader> Passes,
    RigCalibration Calibration,
    RigIdentity Rig,
    string SoftwareVersion,
    Interlocks.Permit? Permit)
{
    /// <summary>The screening that it is a step of; null for a sweep.</summary>
    public Screening.ScreeningTag? Screening { get; init; }

    /// <summary>The study that it is a run of; null where it stands by itself.</summary>
    public Studies.StudyTag? Study { get; init; }
}

public enum PassDirection
{
    Up,
    Down,
}

/// <summary>One pass of a run.</summary>
/// <param name="Index">From 0.</param>
/// <param name="Direction">Which way the drive goes.</param>
/// <param name="Points">Points planned.</param>
/// <param name="Repeat">Repeat of the plan it belongs to, from 0.</param>
/// <param name="SecondSourceVolts">Value of the stepped second source; null without one.</param>
public sealed record PassHeader(int Index, PassDirection Direction, int Points, int Repeat, double? SecondSourceVolts);
