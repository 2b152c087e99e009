using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;

namespace SweepRig.Sweeps.Calibrating;

/// <summary>Where the meter's leads are.</summary>
public enum MeterPlace
{
    /// <summary>Drive before the stopper: compares the DAC and its read-back at once.</summary>
    Drive,
    Grid,
    Plate,
    Screen,
    Supply,
}

/// <summary>A voltage to be held and read on the meter.</summary>
/// <param name="Id">Kebab-case, for example <c>plate-3</c>.</param>
/// <param name="Place">Where the meter is.</param>
/// <param name="DriveCode">DAC code held.</param>
/// <param name="PlateRailVolts">Plate rail held; null for off.</param>
/// <param name="NominalVolts">What the meter should read on a rig without errors.</param>
/// <param name="IsCheck">Read again after the fit, to see whether it holds.</param>
public sealed record CalibrationPoint(string Id, MeterPlace Place, int DriveCode, double? PlateRailVolts, double NominalVolts, bool IsCheck)
{
    public bool IsPositive => Place is MeterPlace.Drive or MeterPlace.Grid && NominalVolts > 0;
}

/// <summary>The points of a rig: pure, so that a procedure taken up again has the same ones.</summary>
public static class CalibrationPoints
{
    /// <summary>Points of drive and grid at or below 0 V, of those above, and of each channel behind the plate rail.</summary>
    public const int NotPositive = 6, Positive = 4, OnRail = 6;

    /// <summary>Lowest plate rail: a supply sags and regulates badly below.</summary>
    private const double LowestRailVolts = 2;

    /// <summary>An uncalibrated channel or supply limit may be off by some percent; points stay this far inside.</summary>
    private const double Inside = 0.95;

    /// <summary>All points in the order of the procedure, one place after another, checks last.</summary>
    /// <param name="positiveUpToVolts">Highest drive; 0 for none above 0 V.</param>
    public static IReadOnlyList<CalibrationPoint> Of(RigIdentity rig, double positiveUpToVolts)
    {
        var points = new List<CalibrationPoint>();
        var restRail = RestRail(rig);
        foreach (var place in new[] { MeterPlace.Drive, MeterPlace.Grid })
        {
            var low = LowestDrive(rig, place);
            for (var i = 0; i < NotPositive; i++) points.Add(OnDrive($"{Word(place)}-{i + 1}", place, low * (1 - i / (double)(NotPositive - 1)), rig, restRail, false));
            var high = HighestDrive(rig, place, positiveUpToVolts);
            for (var i = 1; i <= Positive && high > 0; i++) points.Add(OnDrive($"{Word(place)}-positive-{i}", place, high * i / Positive, rig, restRail, false));
        }
        var (from, to) = RailRange(rig);
        foreach (var place in new[] { MeterPlace.Plate, MeterPlace.Screen, MeterPlace.Supply })
            for (var i = 0; i < OnRail; i++) points.Add(OnRailAt($"{Word(place)}-{i + 1}", place, Math.Round(from + (to - from) * i / (OnRail - 1), 1), rig, false));
        // Fresh voltages for the check, between those of the fit.
        foreach (var place in new[] { MeterPlace.Drive, MeterPlace.Grid }) points.Add(OnDrive($"check-{Word(place)}", place, 0.47 * LowestDrive(rig, place), rig, restRail, true));
        foreach (var place in new[] { MeterPlace.Plate, MeterPlace.Screen, MeterPlace.Supply }) points.Add(OnRailAt($"check-{Word(place)}", place, Math.Round(from + 0.67 * (to - from), 1), rig, true));
        return points;
    }

    /// <summary>DAC code of the drive while only rails are compared.</summary>
    public static int RestCode(RigIdentity rig)
    {
        var rest = rig.Drive.ToCodeAtOrBelow(rig.HardLimits.DriveFloor);
        return rig.Drive.ToVolts(rest) < rig.HardLimits.DriveFloor.Value ? rest + 1 : rest;
    }

    /// <summary>Plate rail while only the drive is compared: off, or the lowest that a rig needs for a program to run.</summary>
    public static double? RestRail(RigIdentity rig) => rig.HardLimits.SupplyMin.Value > 0 ? RailRange(rig).Low : null;

    /// <summary>The channels that a place compares; at the drive the DAC is compared too.</summary>
    public static RigChannel ChannelOf(MeterPlace place) => place switch
    {
        MeterPlace.Drive => RigChannel.Drive,
        MeterPlace.Grid => RigChannel.Grid,
        MeterPlace.Plate => RigChannel.Plate,
        MeterPlace.Screen => RigChannel.Screen,
        MeterPlace.Supply => RigChannel.Supply,
        _ => throw new ArgumentOutOfRangeException(nameof(place), place, "SweepRig bug: no such place."),
    };

    public static string Word(MeterPlace place) => place.ToString().ToLowerInvariant();

    private static double LowestDrive(RigIdentity rig, MeterPlace place)
    {
        var low = Math.Max(rig.HardLimits.DriveFloor.Value, rig.Drive.AtZero.Value);
        return place == MeterPlace.Grid ? Math.Max(low, Inside * rig.Channels[(int)RigChannel.Grid].AtZero.Value) : low;
    }

    private static double HighestDrive(RigIdentity rig, MeterPlace place, double upTo)
    {
        // Below the ceiling by as much as the margin of an uncalibrated DAC.
        var high = Math.Min(upTo, Math.Min(0.98 * rig.HardLimits.DriveCeiling.Value, rig.Drive.AtFullScale.Value));
        return Math.Min(high, Inside * rig.Channels[(int)CalibrationPoints.ChannelOf(place)].AtFullScale.Value);
    }

    private static (double Low, double High) RailRange(RigIdentity rig)
    {
        var most = Math.Min(rig.HardLimits.SupplyMax.Value, Domain.Tubes.ExtraLowVoltage.Limit.Value);
        foreach (var channel in new[] { RigChannel.Plate, RigChannel.Screen, RigChannel.Supply }) most = Math.Min(most, rig.Channels[(int)channel].AtFullScale.Value);
        return (Math.Max(LowestRailVolts, rig.HardLimits.SupplyMin.Value / Inside), Inside * most);
    }

    private static CalibrationPoint OnDrive(string id, MeterPlace place, double volts, RigIdentity rig, double? rail, bool isCheck)
    {
        var code = rig.Drive.ToCodeAtOrBelow(new Volts(volts));
        if (rig.Drive.ToVolts(code) < rig.HardLimits.DriveFloor.Value) code++;
        return new(id, place, code, rail, rig.Drive.ToVolts(code), isCheck);
    }

    private static CalibrationPoint OnRailAt(string id, MeterPlace place, double volts, RigIdentity rig, bool isCheck) =>
        new(id, place, RestCode(rig), volts, volts, isCheck);
}
