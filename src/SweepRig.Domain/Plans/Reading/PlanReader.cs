using System.Text.Json;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using static SweepRig.Domain.Plans.PlanLimits;

namespace SweepRig.Domain.Plans.Reading;

/// <summary>Walks a plan document. Reads every part even after a fault, so that all faults come out at once.</summary>
internal static class PlanReader
{
    private static readonly double RailLimitVolts = ExtraLowVoltage.Limit.Value;

    /// <returns>The plan, or null when faults were added.</returns>
    public static SweepPlan? Read(JsonElement element, List<Refusal> faults)
    {
        var root = ObjectReader.Open(
            element, "", faults, "format", "name", "drive", "dwellMicroseconds", "averaging", "settle", "repeats", "secondSource", "adaptive", "connection");
        if (root is null) return null;

        _ = root.Word("format", PlanDocument.Format);
        var name = root.Line("name", MaxNameLength);
        var drive = ReadDrive(root);
        var dwell = root.Whole("dwellMicroseconds", MinDwellMicroseconds, MaxDwellMicroseconds, "µs");
        var averaging = ReadAveraging(root);
        var settle = ReadSettle(root);
        var repeats = root.Whole("repeats", 1, MaxRepeats, "repeats", otherwise: 1);
        var second = ReadSecondSource(root);
        var adaptive = ReadAdaptive(root, drive, repeats);
        var connection = ReadConnection(root);
        if (drive is not null && repeats is not null && (second is not null || !root.Has("secondSource")))
            CheckSamples(root, drive.Value, repeats.Value, second?.Steps ?? 1);

        if (faults.Count > 0) return null;
        return new(name!, drive!.Value.Start, drive.Value.Stop, drive.Value.Points, drive.Value.Direction, dwell!.Value, averaging!, settle, repeats!.Value, second, connection!) { Adaptive = adaptive };
    }

    private static (Volts Start, Volts Stop, int Points, SweepDirection Direction)? ReadDrive(ObjectReader root)
    {
        if (root.Object("drive", true, "startVolts", "stopVolts", "points", "direction") is not { } drive) return null;
        var start = drive.Number("startVolts", -MaxDriveVolts, MaxDriveVolts, "V");
        var stop = drive.Number("stopVolts", -MaxDriveVolts, MaxDriveVolts, "V");
        var points = drive.Whole("points", MinPoints, MaxPoints, "points");
        var direction = drive.Word("direction", "up", "down", "upAndDown");
        if (start >= stop)
        {
            drive.Fault("reversed-limits", "stopVolts", $"stopVolts {ObjectReader.Text(stop.Value)} V is not above startVolts {ObjectReader.Text(start.Value)} V",
                "startVolts is the lowest and stopVolts the highest drive, whatever the direction", "Exchange them, and use direction \"down\" to go downwards.");
            return null;
        }
        if (start is null || stop is null || points is null || direction is null) return null;
        var way = direction switch { "up" => SweepDirection.Up, "down" => SweepDirection.Down, _ => SweepDirection.UpAndDown };
        return (new(start.Value), new(stop.Value), points.Value, way);
    }

    private static Averaging? ReadAveraging(ObjectReader root)
    {
        if (root.Object("averaging", true, "conversions", "mainsPeriods", "mainsHertz") is not { } averaging) return null;
        var mains = averaging.Has("mainsPeriods") || averaging.Has("mainsHertz");
        if (averaging.Has("conversions"))
        {
            var conversions = averaging.Whole("conversions", 1, MaxConversions, "conversions");
            if (!mains) return conversions is { } n ? new Averaging.Count(n) : null;
            averaging.Fault("both-averagings", "", "both a count of conversions and mains periods stand here", "one kind of averaging is allowed",
                "Keep \"conversions\" alone, or \"mainsPeriods\" with \"mainsHertz\".");
        }
        else if (!mains)
        {
            averaging.Fault("missing-key", "", "no kind of averaging stands here", "\"conversions\", or \"mainsPeriods\" with \"mainsHertz\", is needed", "Add \"conversions\": 16.");
            return null;
        }
        var periods = averaging.Whole("mainsPeriods", 1, MaxMainsPeriods, "periods");
        var hertz = averaging.WholeOf("mainsHertz", "Hz", 50, 60);
        return periods is null || hertz is null ? null : new Averaging.MainsPeriods(periods.Value, hertz.Value);
    }

    private static SettleRule? ReadSettle(ObjectReader root)
    {
        if (root.Object("settle", false, "toleranceVolts", "timeoutMicroseconds") is not { } settle) return null;
        var tolerance = settle.Number("toleranceVolts", MinSettleVolts, MaxSettleVolts, "V");
        var timeout = settle.Whole("timeoutMicroseconds", MinDwellMicroseconds, MaxDwellMicroseconds, "µs");
        return tolerance is null || timeout is null ? null : new(new(tolerance.Value), timeout.Value);
    }

    private static SecondSource? ReadSecondSource(ObjectReader root)
    {
        if (root.Object("secondSource", false, "source", "fromVolts", "toVolts", "steps") is not { } second) return null;
        var source = second.Word("source", AbsentSources.All, "plateRail", "heater");
        var from = second.Number("fromVolts", MinSupplyVolts, RailLimitVolts, "V");
        var to = second.Number("toVolts", MinSupplyVolts, RailLimitVolts, "V");
        var steps = second.Whole("steps", MinSteps, MaxSteps, "steps");
        if (from is not null && from == to)
        {
            second.Fault("nothing-stepped", "toVolts", $"fromVolts and toVolts are both {ObjectReader.Text(from.Value)} V", "two different voltages are needed",
                "Leave \"secondSource\" out when nothing is stepped, and use \"repeats\" to measure again.");
            return null;
        }
        if (source is null || from is null || to is null || steps is null) return null;
        return new(source == "plateRail" ? SteppedSource.PlateRail : SteppedSource.Heater, new(from.Value), new(to.Value), steps.Value);
    }

    private static AdaptiveRule? ReadAdaptive(ObjectReader root, (Volts Start, Volts Stop, int Points, SweepDirection Direction)? drive, int? repeats)
    {
        if (root.Object("adaptive", false, "switchingUncertaintyVolts", "firstPoints", "batchPoints") is not { } adaptive) return null;
        var wanted = adaptive.Number("switchingUncertaintyVolts", AdaptiveRule.LeastVolts, AdaptiveRule.MostVolts, "V");
        var first = adaptive.Whole("firstPoints", AdaptiveRule.LeastFirst, AdaptiveRule.MostPoints, "points", otherwise: AdaptiveRule.DefaultFirst);
        var batch = adaptive.Whole("batchPoints", 1, AdaptiveRule.MostBatch, "points", otherwise: AdaptiveRule.DefaultBatch);
        if (drive is { Direction: not SweepDirection.Up } || repeats > 1 || root.Has("secondSource"))
        {
            adaptive.Fault("adaptive-not-alone", "", "points are to go where they tell most, in a sweep that also goes down, repeats or steps a second source", "an adaptive sweep has direction \"up\", one repeat and no second source",
                "Leave \"adaptive\" out, or take the others out.");
        }
        if (drive is { } d && first is { } f && (d.Points <= f || d.Points > AdaptiveRule.MostPoints))
        {
            adaptive.Fault("adaptive-points", "", $"{d.Points} points in all, {f} of them in the first pass", $"an adaptive sweep takes {f + 1} to {AdaptiveRule.MostPoints} points in all",
                "Give more points than the first pass has; they are taken only as far as they are needed.");
        }
        return wanted is null || first is null || batch is null ? null : new(new(wanted.Value), first.Value, batch.Value);
    }

    private static Connection? ReadConnection(ObjectReader root)
    {
        var connection = root.Object(
            "connection", true, "kind", "plateRailVolts", "biasRailVolts", "heaterVolts", "plateResistorOhms", "screenResistorOhms", "gridStopperOhms");
        if (connection is null) return null;
        var kind = connection.Word("kind", "pentode", "triode");
        var plateRail = connection.Number("plateRailVolts", MinSupplyVolts, RailLimitVolts, "V");
        var biasRail = connection.Number("biasRailVolts", -RailLimitVolts, 0, "V");
        var heater = connection.Number("heaterVolts", MinSupplyVolts, RailLimitVolts, "V");
        var plate = connection.Number("plateResistorOhms", MinOhms, MaxOhms, "Ω");
        var screen = connection.Number("screenResistorOhms", MinOhms, MaxOhms, "Ω");
        var stopper = connection.Number("gridStopperOhms", MinOhms, MaxOhms, "Ω");
        if (kind is null || plateRail is null || biasRail is null || heater is null || plate is null || screen is null || stopper is null) return null;
        return new(kind == "pentode" ? ConnectionKind.Pentode : ConnectionKind.Triode,
            new(plateRail.Value), new(biasRail.Value), new(heater.Value), new(plate.Value), new(screen.Value), new(stopper.Value));
    }

    private static void CheckSamples(ObjectReader root, (Volts Start, Volts Stop, int Points, SweepDirection Direction) drive, int repeats, int steps)
    {
        var samples = (long)drive.Points * (drive.Direction == SweepDirection.UpAndDown ? 2 : 1) * repeats * steps;
        if (samples > MaxSamples)
        {
            root.Fault("too-many-samples", "", $"points, directions, repeats and steps make {samples} samples", $"at most {MaxSamples} are allowed in one run",
                "Lower repeats, steps or points, or split the plan into several runs.");
        }
    }
}
