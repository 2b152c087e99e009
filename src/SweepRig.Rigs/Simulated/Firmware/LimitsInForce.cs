using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Simulated.Firmware;

/// <summary>The hard limits, and those of the session, which can only be tighter than what is in force and last until the next reset.</summary>
internal sealed class LimitsInForce(RigLimits hard)
{
    public RigLimits Value { get; private set; } = hard;

    /// <summary>Takes limits none of which is wider than that in force; otherwise changes nothing.</summary>
    /// <returns>Index of the first field that is wider, in the order of <see cref="RigLimits"/>; null if all were taken.</returns>
    public int? TryTighten(RigLimits asked)
    {
        var now = Value;
        bool[] wider =
        [
            asked.DriveFloor < now.DriveFloor,
            asked.DriveCeiling > now.DriveCeiling,
            asked.GridCurrent > now.GridCurrent,
            asked.CathodeCurrent > now.CathodeCurrent,
            asked.SupplyMin < now.SupplyMin,
            asked.SupplyMax > now.SupplyMax,
            asked.PositiveSecondsPerMinute > now.PositiveSecondsPerMinute,
        ];
        var first = Array.IndexOf(wider, true);
        if (first >= 0) return first;
        Value = asked;
        return null;
    }
}
