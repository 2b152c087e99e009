using SweepRig.Domain.Rigs;
using SweepRig.Rigs.Link.Messages;

namespace SweepRig.Rigs.Control;

/// <summary>The hard limits, and those of the session, which can only be tighter than what is in force and last until the next reset.</summary>
internal sealed class LimitsInForce
{
    private readonly RigLimits _hard;
    private uint _seal;

    public LimitsInForce(RigLimits hard)
    {
        _hard = Value = hard;
        _seal = LimitSeal.Of(LimitValues.Of(hard));
    }

    public RigLimits Value { get; private set; }

    /// <summary>The limits match the seal that was kept beside them.</summary>
    public bool IsIntact => LimitSeal.Of(LimitValues.Of(Value)) == _seal;

    /// <summary>Takes limits none of which is wider than that in force; otherwise changes nothing.</summary>
    /// <returns>Index of the first field that is wider, in the order of <see cref="RigLimits"/>; null if all were taken.</returns>
    public int? TryTighten(RigLimits asked)
    {
        // The hard limits too, which lie in program memory: what is in force may have been damaged upwards, and taking new limits seals anew.
        if ((FirstWider(asked, _hard) ?? FirstWider(asked, Value)) is { } first) return first;
        Value = asked;
        _seal = LimitSeal.Of(LimitValues.Of(asked));
        return null;
    }

    /// <summary>Changes one bit of the drive ceiling in memory and leaves the seal as it is, as a fault would.</summary>
    /// <param name="bit">0 to 30, of the microvolts.</param>
    public void FlipCeilingBit(int bit)
    {
        var values = LimitValues.Of(Value);
        Value = Value with { DriveCeiling = new((values.DriveCeilingMicrovolts ^ (1 << bit)) / 1e6) };
    }

    private static int? FirstWider(RigLimits asked, RigLimits than)
    {
        bool[] wider =
        [
            asked.DriveFloor < than.DriveFloor,
            asked.DriveCeiling > than.DriveCeiling,
            asked.GridCurrent > than.GridCurrent,
            asked.CathodeCurrent > than.CathodeCurrent,
            asked.SupplyMin < than.SupplyMin,
            asked.SupplyMax > than.SupplyMax,
            asked.PositiveSecondsPerMinute > than.PositiveSecondsPerMinute,
        ];
        var first = Array.IndexOf(wider, true);
        return first < 0 ? null : first;
    }
}
