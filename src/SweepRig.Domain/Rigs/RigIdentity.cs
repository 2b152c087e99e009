namespace SweepRig.Domain.Rigs;

/// <summary>Who a rig says it is, in its own words at the handshake.</summary>
/// <param name="ProtocolVersion">Version of the link it speaks; 0 for a rig without link.</param>
/// <param name="Firmware">Name and version of its firmware.</param>
/// <param name="Board">The board it runs on.</param>
/// <param name="SerialNumber">Unique among the rigs of a bench.</param>
/// <param name="Sockets">Number of sockets, 1 or more.</param>
/// <param name="Supplies">Supplies that it can switch.</param>
/// <param name="Drive">Range and resolution of the drive.</param>
/// <param name="Channels">Range and resolution of each measured channel, in link order.</param>
/// <param name="HardLimits">Limits in its firmware that nothing can widen.</param>
/// <param name="LeaseMilliseconds">How long a drive stays without renewal, 100 to 300; 0 for a rig without a lease.</param>
/// <param name="ConversionMicroseconds">Time of one conversion of one channel.</param>
/// <param name="LastReset">Why it last started.</param>
public sealed record RigIdentity(
    int ProtocolVersion,
    string Firmware,
    string Board,
    string SerialNumber,
    int Sockets,
    Supplies Supplies,
    DriveScale Drive,
    IReadOnlyList<ChannelScale> Channels,
    RigLimits HardLimits,
    int LeaseMilliseconds,
    int ConversionMicroseconds,
    ResetReason LastReset)
{
    /// <summary>Why the drive's ceiling is no higher, as the end of a sentence; null where it is simply the rig's own.</summary>
    public string? CeilingReason { get; init; }
}

[Flags]
public enum Supplies
{
    None = 0,
    Heater = 1,
    PlateRail = 2,

    /// <summary>The plate rail can be set, not only switched.</summary>
    PlateRailAdjustable = 4,

    /// <summary>The heater voltage can be set, not only switched.</summary>
    HeaterAdjustable = 8,
}

public enum ResetReason
{
    PowerOn = 0,
    External = 1,
    BrownOut = 2,
    Watchdog = 3,
}
