using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Rigs;

namespace SweepRig.Sweeps.Running;

/// <summary>What the operator must know, as one immutable picture. Published whole at each change.</summary>
public sealed record BenchState(
    RigLinkState Link,
    string RigName,
    RigIdentity? Identity,
    string? LinkFault,
    LinkCounters Counters,
    HeaterState Heater,
    bool PlateRailOn,
    double SupplyVolts,
    double DriveVolts,
    int Socket,
    Trip? Trip,
    bool TripCauseGone,
    Permit? Permit,
    RunProgress? Run)
{
    /// <summary>Higher at each change.</summary>
    public long Version { get; init; }

    /// <summary>The calibration that the connected rig works on; null without one connected.</summary>
    public RigCalibration? Calibration { get; init; }

    /// <summary>True while the interlocks hold the limits of a bench that nobody is at.</summary>
    public bool Unattended { get; init; }

    /// <summary>The point that is held for a meter; null for none.</summary>
    public HoldProgress? Hold { get; init; }
}

/// <param name="Drive">Drive held, by the calibration in use.</param>
/// <param name="PlateRailVolts">Plate rail ordered; null while it is off.</param>
/// <param name="TimeLeft">Until the hold ends by itself.</param>
public sealed record HoldProgress(Volts Drive, double? PlateRailVolts, TimeSpan TimeLeft);

public enum RigLinkState
{
    Connecting,
    Connected,
    Lost,
}

/// <param name="On">Heater supply on.</param>
/// <param name="OnFor">Time since switched on.</param>
/// <param name="WarmAfter">Time a cathode is given before a sweep starts.</param>
public sealed record HeaterState(bool On, TimeSpan OnFor, TimeSpan WarmAfter)
{
    public bool Warm => On && OnFor >= WarmAfter;
}

/// <param name="RunId">The run under way.</param>
/// <param name="Phase">What it is doing.</param>
/// <param name="Pass">Pass under way, from 0.</param>
/// <param name="Passes">Passes planned.</param>
/// <param name="PointsDone">Samples recorded so far, over all passes.</param>
/// <param name="PointsPlanned">Samples planned, over all passes.</param>
/// <param name="TimeLeft">Estimate.</param>
public sealed record RunProgress(string RunId, RunPhase Phase, int Pass, int Passes, long PointsDone, long PointsPlanned, TimeSpan TimeLeft)
{
    /// <summary>How far an adaptive sweep has come; null for others. Passes and points are then the most that it takes.</summary>
    public AdaptiveProgress? Adaptive { get; init; }
}

/// <param name="SwitchingVolts">Null until it can be told.</param>
/// <param name="UncertaintyVolts">Standard uncertainty; null with it.</param>
/// <param name="WantedVolts">Standard uncertainty that is enough.</param>
public sealed record AdaptiveProgress(double? SwitchingVolts, double? UncertaintyVolts, double WantedVolts);

public enum RunPhase
{
    Warming,
    Sweeping,
    Finishing,
}
