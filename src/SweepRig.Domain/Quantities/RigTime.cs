namespace SweepRig.Domain.Quantities;

/// <summary>A reading of a rig's own clock since its reset, extended to 64 bit. Unit: microseconds. Not comparable with host time.</summary>
public readonly record struct RigTime(long Microseconds)
{
    public override string ToString() => $"{Microseconds} us (rig)";
}
