using System.Globalization;
using System.Text.Json;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Domain.Rigs.Documents;

/// <summary>Walks a calibration document. Reads every part even after a fault, so that all faults come out at once.</summary>
internal static class CalibrationReader
{
    /// <summary>Nothing that is measured here goes beyond; wider than any rig, so that what was stored stays readable.</summary>
    private const double MostVolts = 100, MostOhms = 100_000_000;

    private static readonly string[] CorrectionKeys =
    [
        "atCentreVolts", "slope", "cubicVolts", "centreVolts", "halfSpanVolts", "covariance", "meterGainLimit", "meterZeroLimitVolts",
        "fromVolts", "toVolts", "points", "residualVolts",
    ];

    public static RigCalibration? Read(JsonElement element, List<Refusal> faults)
    {
        var root = ObjectReader.Open(
            element, "", faults, "format", "id", "rigSerialNumber", "madeUtc", "validUntilUtc", "note", "positivePoints", "meter", "drive", "channels", "resistors", "rails");
        if (root is null) return null;
        _ = root.Word("format", CalibrationDocument.Format);
        var id = root.Line("id", 80);
        var serial = root.Line("rigSerialNumber", 80);
        var made = Time(root, "madeUtc");
        var until = Time(root, "validUntilUtc");
        if (made is not null && until <= made)
            root.Fault("reversed-times", "validUntilUtc", "validUntilUtc is not after madeUtc", "a calibration holds for some time after it was made", "Correct one of the two times.");
        var note = root.Has("note") ? root.Line("note", CalibrationText.MaxNote) : "";
        var positive = root.Word("positivePoints", "yes", "no");
        var meter = MeterReader.Read(root);
        var drive = Correction(root.Object("drive", true, CorrectionKeys));
        var channels = new VoltageCorrection?[RigChannels.Count];
        var parts = root.Object("channels", true, [.. RigChannels.All.Select(CalibrationText.Key)]);
        foreach (var channel in RigChannels.All) channels[(int)channel] = Correction(parts?.Object(CalibrationText.Key(channel), true, CorrectionKeys));
        var resistors = Resistors(root);
        var rails = Rails(root);
        if (id is not null && RigCalibration.ReservedIds.Contains(id))
            root.Fault("reserved-id", "id", $"id is \"{id}\"", "that word stands for a choice of calibration", "Give the calibration another id.");
        if (faults.Count > 0) return null;
        return new RigCalibration(id!, serial!, [.. channels.Select(c => c!)], drive!)
        {
            Origin = new(made!.Value, until!.Value, meter!, note!, positive == "yes"),
            Resistors = resistors,
            Rails = rails,
        };
    }

    private static VoltageCorrection? Correction(ObjectReader? from)
    {
        if (from is null) return null;
        var at = from.Number("atCentreVolts", -MostVolts, MostVolts, "V");
        var slope = from.Number("slope", 0.5, 2, "V per V");
        var cubic = from.Number("cubicVolts", -MostVolts, MostVolts, "V");
        var centre = from.Number("centreVolts", -MostVolts, MostVolts, "V");
        var half = from.Number("halfSpanVolts", 0.01, MostVolts, "V");
        var gain = from.Number("meterGainLimit", 0, 0.1, "of the reading");
        var zero = from.Number("meterZeroLimitVolts", 0, MostVolts, "V");
        var low = from.Number("fromVolts", -MostVolts, MostVolts, "V");
        var high = from.Number("toVolts", -MostVolts, MostVolts, "V");
        if (low >= high) from.Fault("reversed-limits", "toVolts", "toVolts is not above fromVolts", "fromVolts is the lowest voltage compared", "Exchange them.");
        var points = from.Whole("points", 3, 10_000, "points");
        var residual = from.Number("residualVolts", 0, MostVolts, "V");
        var covariance = Covariance(from);
        if (at is null || slope is null || cubic is null || centre is null || half is null || gain is null || zero is null || low is null || high is null || points is null
            || residual is null || covariance is null || low >= high)
            return null;
        return new VoltageCorrection(at.Value, slope.Value, cubic.Value, centre.Value, half.Value, covariance.Value, gain.Value, zero.Value)
        {
            Range = new(low.Value, high.Value),
            Quality = new(points.Value, residual.Value),
        };
    }

    private static CorrectionCovariance? Covariance(ObjectReader from)
    {
        if (from.Object("covariance", true, "atCentre", "atCentreSlope", "slope", "atCentreCubic", "slopeCubic", "cubic") is not { } c) return null;
        double?[] values =
        [
            c.Number("atCentre", 0, 1e4, "V²"), c.Number("atCentreSlope", -1e4, 1e4, "V"), c.Number("slope", 0, 1, ""),
            c.Number("atCentreCubic", -1e4, 1e4, "V²"), c.Number("slopeCubic", -1e4, 1e4, "V"), c.Number("cubic", 0, 1e4, "V²"),
        ];
        if (values.Any(v => v is null)) return null;
        var found = new CorrectionCovariance(values[0]!.Value, values[1]!.Value, values[2]!.Value, values[3]!.Value, values[4]!.Value, values[5]!.Value);
        // No correlation beyond 1: otherwise a variance somewhere would be negative.
        if (Beyond(found.AtCentreSlope, found.AtCentre, found.Slope) || Beyond(found.AtCentreCubic, found.AtCentre, found.Cubic) || Beyond(found.SlopeCubic, found.Slope, found.Cubic))
        {
            c.Fault("no-covariance", "", "a covariance is larger than its variances allow", "its square is at most the product of the two variances", "Take the document as it was exported.");
            return null;
        }
        return found;

        static bool Beyond(double covariance, double a, double b) => covariance * covariance > a * b * (1 + 1e-6) + 1e-300;
    }

    private static List<MeasuredResistor> Resistors(ObjectReader root)
    {
        var found = new List<MeasuredResistor>();
        if (!root.Has("resistors") || root.Object("resistors", false, [.. Enum.GetValues<ResistorPlace>().Select(CalibrationText.Key)]) is not { } all) return found;
        foreach (var place in Enum.GetValues<ResistorPlace>())
        {
            if (!all.Has(CalibrationText.Key(place)) || all.Object(CalibrationText.Key(place), false, "nominalOhms", "ohms", "uncertaintyOhms") is not { } one) continue;
            var nominal = one.Number("nominalOhms", 1, MostOhms, "Ω");
            var ohms = one.Number("ohms", 1, MostOhms, "Ω");
            var uncertainty = one.Number("uncertaintyOhms", 0, MostOhms, "Ω");
            if (nominal is not null && ohms is not null && uncertainty is not null) found.Add(new(place, nominal.Value, ohms.Value, uncertainty.Value));
        }
        return found;
    }

    private static List<MeasuredRail> Rails(ObjectReader root)
    {
        var found = new List<MeasuredRail>();
        if (!root.Has("rails") || root.Object("rails", false, [.. Enum.GetValues<RailPlace>().Select(CalibrationText.Key)]) is not { } all) return found;
        foreach (var place in Enum.GetValues<RailPlace>())
        {
            if (!all.Has(CalibrationText.Key(place)) || all.Object(CalibrationText.Key(place), false, "setVolts", "volts", "uncertaintyVolts") is not { } one) continue;
            var set = one.Number("setVolts", -MostVolts, MostVolts, "V");
            var volts = one.Number("volts", -MostVolts, MostVolts, "V");
            var uncertainty = one.Number("uncertaintyVolts", 0, MostVolts, "V");
            if (set is not null && volts is not null && uncertainty is not null) found.Add(new(place, set.Value, volts.Value, uncertainty.Value));
        }
        return found;
    }

    private static DateTimeOffset? Time(ObjectReader root, string key)
    {
        if (root.Line(key, 40) is not { } text) return null;
        if (DateTimeOffset.TryParseExact(text, CalibrationText.TimeFormat, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var time)) return time;
        root.Fault("bad-time", key, $"{key} is \"{text}\"", "a UTC time such as 2026-03-14T09:26:53.000Z is needed", "Write it in this form.");
        return null;
    }
}
