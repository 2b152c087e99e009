using SweepRig.Domain.Interlocks;
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
    RunProgress? Run);

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
public sealed record RunProgress(string RunId, RunPhase Phase, int Pass, int Passes, long PointsDone, long PointsPlanned, TimeSpan TimeLeft);

public enum RunPhase
{
    Warming,
    Sweeping,
    Finishing,
}
