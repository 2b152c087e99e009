using SweepRig.Domain.Quantities;

namespace SweepRig.Domain.Rigs;

/// <summary>What a rig enforces by itself. Session limits may only be tighter than the hard ones.</summary>
/// <param name="DriveFloor">Lowest drive; also the safe drive.</param>
/// <param name="DriveCeiling">Highest drive.</param>
/// <param name="GridCurrent">Largest current into grid 1.</param>
/// <param name="CathodeCurrent">Largest sum of grid, screen and plate current.</param>
/// <param name="SupplyMin">Lowest plate rail at which a pass may run.</param>
/// <param name="SupplyMax">Highest plate rail, at most 60 V.</param>
/// <param name="PositiveSecondsPerMinute">Time above 0 V drive allowed in any minute, 0 to 60 s.</param>
public sealed record RigLimits(
    Volts DriveFloor,
    Volts DriveCeiling,
    Amps GridCurrent,
    Amps CathodeCurrent,
    Volts SupplyMin,
    Volts SupplyMax,
    double PositiveSecondsPerMinute);
