using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;

namespace SweepRig.Sweeps.Planning;

public static class LimitSet
{
    /// <summary>The tighter of two limits, each by itself.</summary>
    public static RigLimits Tightest(RigLimits a, RigLimits? b) => b is null ? a : new(
        Higher(a.DriveFloor, b.DriveFloor),
        Lower(a.DriveCeiling, b.DriveCeiling),
        a.GridCurrent < b.GridCurrent ? a.GridCurrent : b.GridCurrent,
        a.CathodeCurrent < b.CathodeCurrent ? a.CathodeCurrent : b.CathodeCurrent,
        Higher(a.SupplyMin, b.SupplyMin),
        Lower(a.SupplyMax, b.SupplyMax),
        Math.Min(a.PositiveSecondsPerMinute, b.PositiveSecondsPerMinute));

    private static Volts Higher(Volts a, Volts b) => a > b ? a : b;

    private static Volts Lower(Volts a, Volts b) => a < b ? a : b;
}
