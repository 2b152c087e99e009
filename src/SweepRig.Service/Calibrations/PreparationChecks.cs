using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Calibrating;

namespace SweepRig.Service.Calibrations;

/// <summary>What a calibration is begun with, checked before anything is driven. All faults are reported at once.</summary>
public static class PreparationChecks
{
    private const int MaxName = 80, MaxNote = 500;

    /// <summary>Bounds that hold for every rig.</summary>
    public static Outcome<CalibrationPreparation> Read(BeginCalibrationRequest request)
    {
        var faults = new List<Refusal>();
        void Range(string path, double value, double min, double max, string unit, string remedy)
        {
            if (!(value >= min && value <= max)) faults.Add(new("out-of-range", path, $"{path.Split('/')[^1]} {Text(value)} {unit}".TrimEnd(), $"{Text(min)} to {Text(max)} {unit} is allowed".Replace("  ", " ", StringComparison.Ordinal), remedy));
        }
        void Name(string path, string value, int min, int max, string remedy)
        {
            if (value.Trim().Length < min || value.Length > max || value.Any(char.IsControl)) faults.Add(new("name-not-usable", path, value.Length == 0 ? "nothing" : $"\"{value}\"", $"{min} to {max} printable characters", remedy));
        }
        if (!request.TubeOut) faults.Add(new("tube-in-socket", "/tubeOut", "the tube is not said to be out", "nothing is driven with a tube in the socket", "Let the tube cool, pull it straight, then say that it is out."));
        var meter = request.Meter;
        Name("/meter/name", meter.Name, 1, MaxName, "Give maker and model of the meter.");
        Name("/meter/serialNumber", meter.SerialNumber, 1, MaxName, "Give the serial number on the meter.");
        const string sheet = "Take it from the meter's data sheet.";
        Range("/meter/percentOfReading", meter.PercentOfReading, 0, 5, "%", sheet);
        Range("/meter/percentOfRange", meter.PercentOfRange, 0, 5, "%", sheet);
        Range("/meter/rangeVolts", meter.RangeVolts, 1, 1000, "V", "Give the full scale of the range that you read on.");
        Range("/meter/counts", meter.Counts, 0, 1000, "counts", sheet);
        Range("/meter/countVolts", meter.CountVolts, 1e-7, 0.1, "V", "Give what the last place of the display means, for example 0.001.");
        Range("/meter/ohmsPercent", meter.OhmsPercent, 0, 10, "%", sheet);
        if (meter.PercentOfReading == 0 && meter.PercentOfRange == 0 && meter.Counts == 0)
            faults.Add(new("meter-without-error", "/meter/percentOfReading", "a meter without any error", "its maker states an accuracy", sheet));
        Name("/note", request.Note, 0, MaxNote, "Leave the note out, or shorten it.");
        Range("/positiveUpToVolts", request.PositiveUpToVolts, 0, ExtraLowVoltage.Limit.Value, "V", "Give 0 for no positive points.");
        var fixture = request.Fixture ?? new();
        const string marked = "Give what stands on it.";
        Range("/fixture/plateResistorOhms", fixture.PlateResistorOhms, PlanLimits.MinOhms, PlanLimits.MaxOhms, "Ω", marked);
        Range("/fixture/screenResistorOhms", fixture.ScreenResistorOhms, PlanLimits.MinOhms, PlanLimits.MaxOhms, "Ω", marked);
        Range("/fixture/gridStopperOhms", fixture.GridStopperOhms, PlanLimits.MinOhms, PlanLimits.MaxOhms, "Ω", marked);
        Range("/fixture/plateRailVolts", fixture.PlateRailVolts, 1, ExtraLowVoltage.Limit.Value, "V", "Give the rail that your sweeps use.");
        Range("/fixture/biasRailVolts", fixture.BiasRailVolts, -ExtraLowVoltage.Limit.Value, 0, "V", "Give the negative rail.");
        Range("/fixture/heaterVolts", fixture.HeaterVolts, 1, ExtraLowVoltage.Limit.Value, "V", "Give the heater voltage, for example 6.3.");
        if (faults.Count > 0) return Outcome<CalibrationPreparation>.Refuse(faults);
        return Outcome<CalibrationPreparation>.Accept(new(
            true,
            new(meter.Name.Trim(), meter.SerialNumber.Trim(), meter.PercentOfReading, meter.PercentOfRange, meter.RangeVolts, meter.Counts, meter.CountVolts, meter.OhmsPercent),
            request.Note.Trim(), request.PositiveUpToVolts,
            new(ConnectionKind.Pentode, new(fixture.PlateRailVolts), new(fixture.BiasRailVolts), new(fixture.HeaterVolts), new(fixture.PlateResistorOhms), new(fixture.ScreenResistorOhms), new(fixture.GridStopperOhms)),
            request.Socket));
    }

    /// <summary>Bounds of the rig at hand, and the permit for positive points.</summary>
    public static IReadOnlyList<Refusal> Against(CalibrationPreparation prepared, RigIdentity rig, Permit? permit, DateTimeOffset now)
    {
        var faults = new List<Refusal>();
        if (prepared.Socket < 0 || prepared.Socket >= rig.Sockets)
            faults.Add(new("socket-absent", "/socket", $"socket {prepared.Socket}", $"this rig has sockets 0 to {rig.Sockets - 1}", "Name an empty one of these."));
        if (prepared.Fixture.PlateRail > rig.HardLimits.SupplyMax)
            faults.Add(new("rail-above-range", "/fixture/plateRailVolts", $"a plate rail of {prepared.Fixture.PlateRail}", $"this rig allows {rig.HardLimits.SupplyMin} to {rig.HardLimits.SupplyMax}", "Give the rail that your sweeps use."));
        var wanted = new Volts(prepared.PositiveUpToVolts);
        if (wanted > rig.HardLimits.DriveCeiling)
            faults.Add(new("drive-above-ceiling", "/positiveUpToVolts", $"points up to {wanted}", $"the ceiling of this rig is {rig.HardLimits.DriveCeiling}", $"Ask for {rig.HardLimits.DriveCeiling} or less."));
        else if (wanted.Value > 0 && (permit is null || now >= permit.EndsUtc || permit.Ceiling < wanted))
        {
            faults.Add(new("positive-drive-without-permit", "", $"positive points up to {wanted} were asked for", permit is null || now >= permit.EndsUtc ? "no permit is in force" : $"the permit in force ends at {permit.Ceiling}",
                $"Grant a permit up to {wanted} for about half an hour, or calibrate up to 0 V: positive figures then lean on extrapolation and say so."));
        }
        return faults;
    }

    private static string Text(double value) => value.ToString("0.########", CultureInfo.InvariantCulture);
}
