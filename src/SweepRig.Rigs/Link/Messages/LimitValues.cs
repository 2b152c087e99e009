using System.IO.Hashing;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;

namespace SweepRig.Rigs.Link.Messages;

/// <summary>Limits in the whole numbers of the link, as in Limits and IdentityLimits.</summary>
public readonly record struct LimitValues(
    int DriveFloorMicrovolts,
    int DriveCeilingMicrovolts,
    int GridCurrentNanoamps,
    int CathodeCurrentNanoamps,
    int SupplyMinMicrovolts,
    int SupplyMaxMicrovolts,
    ushort PositiveMillisecondsPerMinute)
{
    /// <summary>Upper limits are rounded down and lower ones up, so that the rig is never given a wider limit than was asked.</summary>
    public static LimitValues Of(RigLimits limits) => new(
        Up(limits.DriveFloor.Value, 1e6),
        Down(limits.DriveCeiling.Value, 1e6),
        Down(limits.GridCurrent.Value, 1e9),
        Down(limits.CathodeCurrent.Value, 1e9),
        Up(limits.SupplyMin.Value, 1e6),
        Down(limits.SupplyMax.Value, 1e6),
        (ushort)Math.Clamp(Down(limits.PositiveSecondsPerMinute, 1e3), 0, 65535));

    public RigLimits ToRigLimits() => new(
        new Volts(DriveFloorMicrovolts / 1e6),
        new Volts(DriveCeilingMicrovolts / 1e6),
        new Amps(GridCurrentNanoamps / 1e9),
        new Amps(CathodeCurrentNanoamps / 1e9),
        new Volts(SupplyMinMicrovolts / 1e6),
        new Volts(SupplyMaxMicrovolts / 1e6),
        PositiveMillisecondsPerMinute / 1e3);

    internal void Write(ref FieldWriter writer)
    {
        writer.Put(DriveFloorMicrovolts);
        writer.Put(DriveCeilingMicrovolts);
        writer.Put(GridCurrentNanoamps);
        writer.Put(CathodeCurrentNanoamps);
        writer.Put(SupplyMinMicrovolts);
        writer.Put(SupplyMaxMicrovolts);
        writer.Put(PositiveMillisecondsPerMinute);
    }

    internal static LimitValues Read(ref FieldReader reader) => new(
        (int)reader.Next(), (int)reader.Next(), (int)reader.Next(), (int)reader.Next(), (int)reader.Next(), (int)reader.Next(), (ushort)reader.Next());

    // 1e-6 of a step absorbs what binary fractions leave of a value such as 8 mA.
    private static int Down(double value, double scale) => (int)Math.Clamp(Math.Floor(value * scale + 1e-6), int.MinValue, int.MaxValue);

    private static int Up(double value, double scale) => (int)Math.Clamp(Math.Ceiling(value * scale - 1e-6), int.MinValue, int.MaxValue);
}

/// <summary>The seal of a set of limits: CRC-32/ISO-HDLC of the fields before it. The rig keeps it beside the limits and checks both before each program.</summary>
public static class LimitSeal
{
    public static uint Of(LimitValues values)
    {
        Span<byte> bytes = stackalloc byte[LinkMessages.Limits.FixedBytes];
        var writer = new FieldWriter(LinkMessages.Limits, bytes);
        values.Write(ref writer);
        return Crc32.HashToUInt32(bytes[..writer.Written]);
    }
}
