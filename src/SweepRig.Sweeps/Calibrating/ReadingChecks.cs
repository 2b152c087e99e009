using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Rigs.Calibration.Fitting;
using SweepRig.Sweeps.Running;

namespace SweepRig.Sweeps.Calibrating;

/// <summary>Whether a reading can be what it is taken for. Each refusal names value, expectation and remedy. Pure.</summary>
internal static class ReadingChecks
{
    /// <summary>Largest error of a rig that is in order but not calibrated: dividers of 1 to 2 % resistors, offsets of an amplifier. Common practice, no source.</summary>
    public const double MostGainError = 0.05, MostOffsetVolts = 0.25;

    /// <summary>A resistor or rail further off than this is another one.</summary>
    private const double MostResistorError = 0.2, MostRailError = 0.15, MostRailOffsetVolts = 0.3;

    /// <summary>A reading this far off the line of the others is a mistake: five standard uncertainties, and no less than this part of the span.</summary>
    private const double OffTheLine = 5, LeastOffTheLine = 1e-3;

    public static IReadOnlyList<Refusal> Point(CalibrationProcedure procedure, CalibrationPoint point, double volts, HeldReading held)
    {
        var channel = CalibrationPoints.ChannelOf(point.Place);
        if (held.DriveCode != point.DriveCode)
            return [new("another-point-held", "", $"a reading for {point.Id}", $"the rig held DAC code {held.DriveCode}, not {point.DriveCode}", $"Hold {point.Id}, then read the meter.")];
        if (held.IsAtEnd(procedure.Rig, channel))
            return [new("channel-clipped", "", $"a reading for {point.Id}", $"the converter of that channel stands at the end of its range at {Volts(point.NominalVolts)}", "Check the divider of that channel; it must not clip within the points.")];
        var shown = held.NominalVolts(procedure.Rig, channel);
        if (Math.Abs(shown - point.NominalVolts) > 2 * Room(point.NominalVolts))
        {
            return [new("channel-does-not-follow", "", $"a reading for {point.Id}", $"the {CalibrationPoints.Word(point.Place)} channel shows {Volts(shown)} where about {Volts(point.NominalVolts)} is held",
                "See that the tube is out of the socket, the supply set and the channel connected.")];
        }
        if (Implausible(procedure, point, volts) is { } refusal) return [refusal];
        return OffLine(procedure, point, volts, held) is { } off ? [off] : [];
    }

    public static IReadOnlyList<Refusal> Value(CalibrationProcedure procedure, CalibrationStep step, double value)
    {
        var expected = step.Expected;
        var unit = step.Kind == CalibrationStepKind.Resistor ? "Ω" : "V";
        var room = step.Kind == CalibrationStepKind.Resistor ? MostResistorError * expected : MostRailError * Math.Abs(expected) + MostRailOffsetVolts;
        var asked = $"{step.Id} was read as {Text(value)} {unit}";
        var allowed = $"{Text(expected)} {unit} is expected, give or take {Text(room)} {unit}";
        if (double.IsFinite(value) && Math.Abs(value - expected) <= room) return [];
        if (Near(-value, expected, room)) return [new("reading-sign", "/value", asked, allowed, "The sign is wrong: exchange the leads, or give the sign that the meter shows with black at the cathode.")];
        if (Near(value * 1000, expected, room) || Near(value / 1000, expected, room))
            return [new("reading-unit", "/value", asked, allowed, $"The unit is wrong: give {(unit == "Ω" ? "ohms, not kilohms" : "volts, not millivolts")}.")];
        var other = procedure.Steps.FirstOrDefault(s => s != step && s.Kind == step.Kind && Near(value, s.Expected, (step.Kind == CalibrationStepKind.Resistor ? MostResistorError : MostRailError) * Math.Abs(s.Expected)));
        return other is null
            ? [new("reading-out-of-range", "/value", asked, allowed, step.Kind == CalibrationStepKind.Resistor ? "Measure it with the rig switched off and one end free; state what stands on it when preparing." : "Set the supply, then measure it again.")]
            : [new("readings-swapped", "/value", asked, allowed, $"This looks like {other.Id}: see where the leads are.")];
    }

    /// <summary>What the fits of all places say against them.</summary>
    public static IReadOnlyList<Refusal> Fits(CalibrationProcedure procedure)
    {
        var refusals = new List<Refusal>();
        foreach (var fitted in procedure.Result!.Fits)
        {
            var correction = fitted.Fit.Correction;
            if (Math.Abs(correction.Gain - 1) > MostGainError)
            {
                refusals.Add(new("gain-implausible", "", $"the {fitted.Name} comes out with a gain of {Text(correction.Gain)}", $"{Text(1 - MostGainError)} to {Text(1 + MostGainError)} is what a sound rig can have",
                    "Check its divider and its reference, and the range of the meter."));
            }
            if (Math.Abs(correction.OffsetVolts) > 2 * MostOffsetVolts)
                refusals.Add(new("offset-implausible", "", $"the {fitted.Name} comes out with an offset of {Volts(correction.OffsetVolts)}", $"{Volts(2 * MostOffsetVolts)} either way is what a sound rig can have", "Check its amplifier, and the zero of the meter with its leads shorted."));
        }
        return refusals;
    }

    private static Refusal? Implausible(CalibrationProcedure procedure, CalibrationPoint point, double volts)
    {
        var meter = procedure.Prepared.Meter;
        var room = Room(point.NominalVolts);
        var asked = $"{point.Id} was read as {Text(volts)} V";
        var allowed = $"about {Volts(point.NominalVolts)} is held, give or take {Volts(room)}";
        if (!double.IsFinite(volts) || Math.Abs(volts) > 1.1 * meter.RangeVolts && Math.Abs(volts / 1000 - point.NominalVolts) > room)
            return new("reading-out-of-range", "/value", asked, $"the range of the meter is {Volts(meter.RangeVolts)}", "Set the meter to a range that holds the voltage, and state that range when preparing.");
        if (Math.Abs(volts - point.NominalVolts) <= room) return null;
        // A voltage near 0 fits many things; only a clear one is explained.
        if (Math.Abs(point.NominalVolts) > 2 * room && Near(-volts, point.NominalVolts, room)) return new("reading-sign", "/value", asked, allowed, "The sign is wrong: exchange the leads, black belongs at the cathode.");
        if (Near(volts / 1000, point.NominalVolts, room) && Math.Abs(volts) > 1) return new("reading-unit", "/value", asked, allowed, "The unit is wrong: give volts, not millivolts.");
        if (Math.Abs(point.NominalVolts) > 2 * room && Near(volts * 1000, point.NominalVolts, room)) return new("reading-unit", "/value", asked, allowed, "The unit is wrong: give volts as the meter shows them.");
        var other = procedure.Steps.Select(s => s.Point).OfType<CalibrationPoint>().FirstOrDefault(p => p.Place == point.Place && p.Id != point.Id && Near(volts, p.NominalVolts, Room(p.NominalVolts)));
        return other is null
            ? new("reading-implausible", "/value", asked, allowed, "See that the leads are at the right place and the meter has settled, then read it again.")
            : new("readings-swapped", "/value", asked, allowed, $"This looks like the reading of {other.Id}: give each reading to the point that is held.");
    }

    private static Refusal? OffLine(CalibrationProcedure procedure, CalibrationPoint point, double volts, HeldReading held)
    {
        if (point.IsCheck) return null;
        var others = CalibrationResult.PointsOf(procedure, point.Place).Where(p => p.Id != point.Id).Select(p => p.Channel).ToArray();
        if (others.Length < CorrectionFit.LeastPoints) return null;
        var line = CorrectionFit.Of(others, procedure.Prepared.Meter).Correction;
        var channel = CalibrationPoints.ChannelOf(point.Place);
        var expected = line.Apply(held.NominalVolts(procedure.Rig, channel));
        var reading = Math.Sqrt(Math.Pow(held.NominalUncertaintyVolts(procedure.Rig, channel), 2) + Math.Pow(procedure.Prepared.Meter.RoundingUncertaintyVolts, 2));
        var scale = procedure.Rig.Channels[(int)channel];
        // A converter bends by up to some steps, and points beyond the others lean on them twice.
        var room = Math.Max(OffTheLine * Math.Sqrt(reading * reading + Math.Pow(line.FitUncertaintyAt(expected), 2)), LeastOffTheLine * scale.StepVolts * scale.MaxCode) + 4 * scale.StepVolts;
        return Math.Abs(volts - expected) <= room
            ? null
            : new("reading-off-the-line", "/value", $"{point.Id} was read as {Text(volts)} V", $"by the other readings of this place {Text(Math.Round(expected, 4))} V is expected, give or take {Text(Math.Round(room, 4))} V",
                "Hold the point and read it again; if the others are wrong, take them back with redo.");
    }

    private static double Room(double nominalVolts) => MostGainError * Math.Abs(nominalVolts) + MostOffsetVolts;

    private static bool Near(double value, double expected, double room) => Math.Abs(value - expected) <= room;

    private static string Volts(double volts) => double.IsFinite(volts) ? new Volts(volts).ToString() : Text(volts);

    private static string Text(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);
}
