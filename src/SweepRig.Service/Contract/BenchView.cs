using MessagePack;

namespace SweepRig.Service.Contract;

/// <summary>The bench as a viewer sees it. Times in seconds, voltages in volts.</summary>
/// <param name="Link"><c>connecting</c>, <c>connected</c> or <c>lost</c>.</param>
/// <param name="SupplyVolts">Plate rail as last read; null before the first reading.</param>
/// <param name="DriveVolts">Drive as last commanded; null before the first reading.</param>
/// <param name="Unattended">True while the tighter limits of the interlocks hold, because nobody is at the bench.</param>
/// <param name="Version">Higher at each change while the service runs: of two pictures the one with the higher number is the newer, by whatever way it came.</param>
/// <param name="LinkFault">Why it is lost and what to do; null while connected.</param>
[MessagePackObject]
public sealed record BenchView(
    [property: Key("link"), OneOf("connecting", "connected", "lost")] string Link,
    [property: Key("rigName")] string RigName,
    [property: Key("rig")] RigView? Rig,
    [property: Key("linkFault")] string? LinkFault,
    [property: Key("damagedFrames")] long DamagedFrames,
    [property: Key("lostFrames")] long LostFrames,
    [property: Key("heater")] HeaterView Heater,
    [property: Key("plateRailOn")] bool PlateRailOn,
    [property: Key("supplyVolts")] double? SupplyVolts,
    [property: Key("driveVolts")] double? DriveVolts,
    [property: Key("socket")] int Socket,
    [property: Key("trip")] TripView? Trip,
    [property: Key("permit")] PermitView? Permit,
    [property: Key("run")] ProgressView? Run,
    [property: Key("hold")] HoldView? Hold,
    [property: Key("unattended")] bool Unattended,
    [property: Key("version")] long Version);

/// <param name="Calibrated">False while the rig works on nominal values; then every figure says so.</param>
[MessagePackObject]
public sealed record RigView(
    [property: Key("board")] string Board,
    [property: Key("serialNumber")] string SerialNumber,
    [property: Key("firmware")] string Firmware,
    [property: Key("protocolVersion")] int ProtocolVersion,
    [property: Key("sockets")] int Sockets,
    [property: Key("driveFloor")] double DriveFloor,
    [property: Key("driveCeiling")] double DriveCeiling,
    [property: Key("supplyMax")] double SupplyMax,
    [property: Key("calibrated")] bool Calibrated,
    [property: Key("calibration")] CalibrationView Calibration);

[MessagePackObject]
public sealed record HeaterView(
    [property: Key("on")] bool On,
    [property: Key("onForSeconds")] double OnForSeconds,
    [property: Key("warmAfterSeconds")] double WarmAfterSeconds,
    [property: Key("warm")] bool Warm);

/// <param name="Cause">Kebab-case, for example <c>grid-current</c>.</param>
/// <param name="Title">One line: what fired.</param>
/// <param name="LikelyCause">What usually lies behind it.</param>
/// <param name="Remedy">What to do next.</param>
/// <param name="CauseGone">True when an acknowledgement would be taken.</param>
[MessagePackObject]
public sealed record TripView(
    [property: Key("cause")] string Cause,
    [property: Key("title")] string Title,
    [property: Key("likelyCause")] string LikelyCause,
    [property: Key("remedy")] string Remedy,
    [property: Key("byRig")] bool ByRig,
    [property: Key("measured")] string Measured,
    [property: Key("limit")] string Limit,
    [property: Key("occurredUtc")] string OccurredUtc,
    [property: Key("causeGone")] bool CauseGone);

[MessagePackObject]
public sealed record PermitView(
    [property: Key("id")] string Id,
    [property: Key("ceilingVolts")] double CeilingVolts,
    [property: Key("reason")] string Reason,
    [property: Key("grantedUtc")] string GrantedUtc,
    [property: Key("endsUtc")] string EndsUtc,
    [property: Key("secondsLeft")] double SecondsLeft);

/// <param name="Phase"><c>warming</c>, <c>sweeping</c> or <c>finishing</c>.</param>
[MessagePackObject]
public sealed record ProgressView(
    [property: Key("runId")] string RunId,
    [property: Key("phase"), OneOf("warming", "sweeping", "finishing")] string Phase,
    [property: Key("pass")] int Pass,
    [property: Key("passes")] int Passes,
    [property: Key("pointsDone")] long PointsDone,
    [property: Key("pointsPlanned")] long PointsPlanned,
    [property: Key("secondsLeft")] double SecondsLeft,
    [property: Key("adaptive")] AdaptiveProgressView? Adaptive = null);

/// <summary>How far an adaptive sweep has come; its passes and points are the most that it takes. Volts.</summary>
/// <param name="SwitchingVolts">Switching point as it stands; null until it can be told.</param>
/// <param name="UncertaintyVolts">Its standard uncertainty.</param>
/// <param name="WantedVolts">Standard uncertainty that is enough.</param>
[MessagePackObject]
public sealed record AdaptiveProgressView(
    [property: Key("switchingVolts")] double? SwitchingVolts,
    [property: Key("uncertaintyVolts")] double? UncertaintyVolts,
    [property: Key("wantedVolts")] double WantedVolts);
