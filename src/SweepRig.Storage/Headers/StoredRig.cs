using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;

namespace SweepRig.Storage.Headers;

/// <summary>The rig's own words at the handshake, as stored.</summary>
internal sealed record StoredRig(
    int ProtocolVersion,
    string Firmware,
    string Board,
    string SerialNumber,
    int Sockets,
    Supplies Supplies,
    StoredDriveScale Drive,
    IReadOnlyList<StoredChannelScale> Channels,
    StoredLimits HardLimits,
    int LeaseMilliseconds,
    int ConversionMicroseconds,
    ResetReason LastReset)
{
    public static StoredRig From(RigIdentity rig) => new(
        rig.ProtocolVersion,
        rig.Firmware,
        rig.Board,
        rig.SerialNumber,
        rig.Sockets,
        rig.Supplies,
        new(rig.Drive.Bits, rig.Drive.AtZero.Value, rig.Drive.AtFullScale.Value),
        [.. rig.Channels.Select(c => new StoredChannelScale(c.Channel, c.Bits, c.FractionBits, c.AtZero.Value, c.AtFullScale.Value))],
        StoredLimits.From(rig.HardLimits),
        rig.LeaseMilliseconds,
        rig.ConversionMicroseconds,
        rig.LastReset);

    public RigIdentity ToIdentity() => new(
        ProtocolVersion,
        Firmware,
        Board,
        SerialNumber,
        Sockets,
        Supplies,
        new DriveScale(Drive.Bits, new Volts(Drive.AtZeroVolts), new Volts(Drive.AtFullScaleVolts)),
        [.. Channels.Select(c => new ChannelScale(c.Channel, c.Bits, c.FractionBits, new Volts(c.AtZeroVolts), new Volts(c.AtFullScaleVolts)))],
        HardLimits.ToLimits(),
        LeaseMilliseconds,
        ConversionMicroseconds,
        LastReset);
}

internal sealed record StoredDriveScale(int Bits, double AtZeroVolts, double AtFullScaleVolts);

internal sealed record StoredChannelScale(RigChannel Channel, int Bits, int FractionBits, double AtZeroVolts, double AtFullScaleVolts);

internal sealed record StoredLimits(
    double DriveFloorVolts,
    double DriveCeilingVolts,
    double GridCurrentAmps,
    double CathodeCurrentAmps,
    double SupplyMinVolts,
    double SupplyMaxVolts,
    double PositiveSecondsPerMinute)
{
    public static StoredLimits From(RigLimits l) => new(
        l.DriveFloor.Value, l.DriveCeiling.Value, l.GridCurrent.Value, l.CathodeCurrent.Value, l.SupplyMin.Value, l.SupplyMax.Value,
        l.PositiveSecondsPerMinute);

    public RigLimits ToLimits() => new(
        new Volts(DriveFloorVolts), new Volts(DriveCeilingVolts), new Amps(GridCurrentAmps), new Amps(CathodeCurrentAmps),
        new Volts(SupplyMinVolts), new Volts(SupplyMaxVolts), PositiveSecondsPerMinute);
}
