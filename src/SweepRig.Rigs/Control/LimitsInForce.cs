using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Control;

/// <summary>The hard limits, and those of the session, which can only be tighter than what is in force and last until the next reset.</summary>
internal sealed class LimitsInForce(RigLimits hard)
{
    private uint _seal = LimitSeal.Of(LimitValues.Of(hard));

    public RigLimits Value { get; private set; } = hard;

    /// <summary>The limits match the seal that was kept beside them.</summary>
    public bool IsIntact => LimitSeal.Of(LimitValues.Of(Value)) == _seal;

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
        _seal = LimitSeal.Of(LimitValues.Of(asked));
        return null;
    }
}
