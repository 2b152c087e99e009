namespace SweepRig.Domain.Runs;

/// <summary>What a run was made for.</summary>
public enum RunKind
{
    Sweep,

    /// <summary>A step of a screening.</summary>
    Screening,
}
