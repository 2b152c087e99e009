namespace SweepRig.Domain.Interlocks;

/// <summary>Why the latch fired. Numbers below 64 travel on the link and never change; from 64 on they are the host's own.</summary>
public enum TripCause
{
    /// <summary>The latch of a rig starts fired; nothing is wrong.</summary>
    PowerUp = 1,
    LeaseExpired = 2,
    DriveCeiling = 3,
    GridCurrent = 4,
    CathodeCurrent = 5,
    SupplyRange = 6,
    DriveReadBack = 7,
    PositiveTime = 8,
    PositiveCharge = 9,
    EmergencyStop = 10,
    Watchdog = 11,
    BrownOut = 12,
    ProtocolFault = 13,

    /// <summary>The host ordered it (operator, or an interlock of the host).</summary>
    HostOrder = 14,

    LinkLost = 64,
    RigRestarted = 65,
    PermitEnded = 66,
    RecordingFailed = 67,
    HostCeiling = 68,
    HostGridCurrent = 69,
    HostCathodeCurrent = 70,
    HostSupplyRange = 71,
    HeaterSupply = 72,
    GridDissipation = 73,
    PlateDissipation = 74,
    ScreenDissipation = 75,
    ReverseGridCurrent = 76,
    HostPositiveTime = 77,
    HostPositiveCharge = 78,
    HostReadBack = 79,
    ChannelStuck = 80,
    ChannelClipped = 81,
    CurrentRunaway = 82,
    HeaterCold = 83,
    StaleData = 84,
    ClockTrouble = 85,
}
