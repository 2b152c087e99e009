namespace SweepRig.Wire.Exploration;

/// <summary>Brings a world into 128 bits and back. What is on the line has a number for each direction.</summary>
internal sealed class WorldPacker
{
    private const int RigBits = 22, HostBits = 22, InterlockBits = 14, WayBits = 22;

    private readonly Numbers<Way> _ways = new();

    public PackedWorld Pack(in World world) => new(
        Fitting(world.Rig, RigBits) | (Fitting(world.Host, HostBits) << RigBits) | (Fitting(world.Interlock, InterlockBits) << (RigBits + HostBits))
            | (world.LineOut ? 1UL << 58 : 0) | (world.Boot ? 1UL << 59 : 0),
        Fitting(_ways.Of(world.ToRig), WayBits) | (Fitting(_ways.Of(world.ToHost), WayBits) << WayBits)
            | (Fitting((int)world.Around, 3) << 44) | (Fitting(world.RigSession, 2) << 47) | (Fitting(world.Unheld, 3) << 49) | (Fitting(world.PermitLeft, 3) << 52)
            | (Fitting(world.Unpermitted, 4) << 55) | (Fitting(world.Tripped, 4) << 59));

    public World Unpack(PackedWorld packed)
    {
        var (high, low) = packed;
        return new()
        {
            Rig = Part(high, 0, RigBits), Host = Part(high, RigBits, HostBits), Interlock = Part(high, RigBits + HostBits, InterlockBits),
            LineOut = Part(high, 58, 1) != 0, Boot = Part(high, 59, 1) != 0,
            ToRig = _ways[Part(low, 0, WayBits)], ToHost = _ways[Part(low, WayBits, WayBits)],
            Around = (Around)Part(low, 44, 3), RigSession = (byte)Part(low, 47, 2), Unheld = (byte)Part(low, 49, 3), PermitLeft = (byte)Part(low, 52, 3),
            Unpermitted = (byte)Part(low, 55, 4), Tripped = (byte)Part(low, 59, 4),
        };
    }

    private static int Part(ulong of, int from, int bits) => (int)(of >> from) & ((1 << bits) - 1);

    private static ulong Fitting(int number, int bits) =>
        number >= 0 && number < 1 << bits ? (ulong)number : throw new InvalidOperationException($"The exploration has met {number} of what it has {bits} bits for.");
}
