using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;

namespace SweepRig.Domain.Screening;

/// <summary>A step of the screening program. Each is a run of its own on record.</summary>
public enum ScreeningStepKind
{
    /// <summary>Heater and plate rail off: what the grid path shows by itself.</summary>
    ColdRailOff,

    /// <summary>Heater off, the plate rail at a volt or two: a short shows before it can do harm.</summary>
    ColdLowRail,

    /// <summary>Heater off, the plate rail on: leakage from screen and plate.</summary>
    ColdRailOn,

    /// <summary>Heater switched on, watched at 0 V drive.</summary>
    WarmUp,

    /// <summary>Watched on at 0 V drive.</summary>
    FirstMinutes,

    /// <summary>Drive from its floor to 0 V.</summary>
    Transfer,

    /// <summary>Warm, rail on, the same drives as cold: reverse grid current.</summary>
    GridCurrent,

    /// <summary>Quick samples, first cut off, then where the tube amplifies most.</summary>
    Quiet,

    /// <summary>The same while somebody taps the bulb.</summary>
    Tapped,

    /// <summary>Heater 10 % lower, watched at 0 V drive.</summary>
    LowHeater,
}

/// <summary>Which screening a run belongs to.</summary>
/// <param name="ScreeningId">The same for all its runs: a version 7 UUID as 32 hex digits.</param>
public sealed record ScreeningTag(string ScreeningId, ScreeningStepKind Kind);

/// <summary>A run of a screening as the analysis takes it.</summary>
/// <param name="Header">Its <see cref="RunHeader.Screening"/> is not null.</param>
/// <param name="State">How it ended.</param>
/// <param name="Curve">Its one pass, points in the order of the program; null where nothing was recorded.</param>
/// <param name="Trips">Interlocks that fired.</param>
public sealed record ScreeningRun(RunHeader Header, RunState State, Curve? Curve, IReadOnlyList<Trip> Trips)
{
    public ScreeningStepKind Kind => Header.Screening?.Kind ?? throw new InvalidOperationException($"Run {Header.Id} belongs to no screening.");
}
