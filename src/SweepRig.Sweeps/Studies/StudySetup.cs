using SweepRig.Domain.Studies;
using SweepRig.Domain.Tubes;

namespace SweepRig.Sweeps.Studies;

/// <summary>What is studied.</summary>
/// <param name="StudyId">Of this study: a version 7 UUID as 32 hex digits.</param>
/// <param name="Tube">The tube in the socket.</param>
/// <param name="Socket">From 0.</param>
/// <param name="Fixture">Connection, resistors, rail and heater voltage.</param>
public abstract record StudySetup(string StudyId, Tube Tube, int Socket, Connection Fixture)
{
    public abstract StudyKind Kind { get; }

    /// <summary>How much faster than life the heaters of a simulated rig warm; times that wait for a cathode are shorter by it. Default 1.</summary>
    public double HeaterSpeed { get; init; } = 1;
}
