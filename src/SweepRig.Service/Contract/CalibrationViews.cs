using MessagePack;

namespace SweepRig.Service.Contract;

/// <summary>The calibration that figures lean on.</summary>
/// <param name="State"><c>nominal</c>: none, design values; <c>calibrated</c>; <c>stale</c>: its time is over, or was when the run was made.</param>
/// <param name="Id">Null for nominal values.</param>
/// <param name="Meter">The reference it was made with.</param>
/// <param name="PositivePoints">False: no positive drive was compared, and positive figures lean on extrapolation.</param>
[MessagePackObject]
public sealed record CalibrationView(
    [property: Key("state"), OneOf("nominal", "calibrated", "stale")] string State,
    [property: Key("id")] string? Id,
    [property: Key("madeUtc")] string? MadeUtc,
    [property: Key("validUntilUtc")] string? ValidUntilUtc,
    [property: Key("meter")] string? Meter,
    [property: Key("note")] string? Note,
    [property: Key("positivePoints")] bool PositivePoints);

/// <summary>The point that is held for a meter.</summary>
/// <param name="PlateRailVolts">Null while the rail is off.</param>
[MessagePackObject]
public sealed record HoldView(
    [property: Key("driveVolts")] double DriveVolts,
    [property: Key("plateRailVolts")] double? PlateRailVolts,
    [property: Key("secondsLeft")] double SecondsLeft);
