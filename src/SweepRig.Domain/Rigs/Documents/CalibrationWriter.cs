using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace SweepRig.Domain.Rigs.Documents;

/// <summary>Writes what <see cref="CalibrationReader"/> reads. Numbers come out in their shortest form that reads back the same.</summary>
internal static class CalibrationWriter
{
    private static readonly JsonWriterOptions Options = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public static string Write(RigCalibration calibration)
    {
        if (calibration.Origin is not { } origin) throw new ArgumentException("Nominal values are no calibration.", nameof(calibration));
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream, Options))
        {
            json.WriteStartObject();
            json.WriteString("format", CalibrationDocument.Format);
            json.WriteString("id", calibration.Id);
            json.WriteString("rigSerialNumber", calibration.RigSerialNumber);
            json.WriteString("madeUtc", CalibrationText.Time(origin.MadeUtc));
            json.WriteString("validUntilUtc", CalibrationText.Time(origin.ValidUntilUtc));
            if (origin.Note.Length > 0) json.WriteString("note", origin.Note);
            json.WriteString("positivePoints", origin.PositivePoints ? "yes" : "no");
            json.WriteStartObject("meter");
            WriteMeter(json, origin.Meter);
            json.WriteEndObject();
            WriteCorrection(json, "drive", calibration.Drive);
            json.WriteStartObject("channels");
            foreach (var channel in RigChannels.All) WriteCorrection(json, CalibrationText.Key(channel), calibration.Channels[(int)channel]);
            json.WriteEndObject();
            WriteResistors(json, calibration.Resistors);
            WriteRails(json, calibration.Rails);
            json.WriteEndObject();
        }
        return Encoding.UTF8.GetString(stream.GetBuffer(), 0, (int)stream.Length);
    }

    public static void WriteMeter(Utf8JsonWriter json, ReferenceMeter meter)
    {
        json.WriteString("name", meter.Name);
        json.WriteString("serialNumber", meter.SerialNumber);
        json.WriteNumber("percentOfReading", meter.PercentOfReading);
        json.WriteNumber("percentOfRange", meter.PercentOfRange);
        json.WriteNumber("rangeVolts", meter.RangeVolts);
        json.WriteNumber("counts", meter.Counts);
        json.WriteNumber("countVolts", meter.CountVolts);
        json.WriteNumber("ohmsPercent", meter.OhmsPercent);
    }

    private static void WriteCorrection(Utf8JsonWriter json, string key, VoltageCorrection correction)
    {
        var range = correction.Range ?? throw new ArgumentException($"The correction of {key} was not fitted to anything.", nameof(correction));
        var quality = correction.Quality ?? throw new ArgumentException($"The correction of {key} was not fitted to anything.", nameof(correction));
        var c = correction.Covariance;
        json.WriteStartObject(key);
        json.WriteNumber("atCentreVolts", correction.AtCentreVolts);
        json.WriteNumber("slope", correction.Slope);
        json.WriteNumber("cubicVolts", correction.CubicVolts);
        json.WriteNumber("centreVolts", correction.CentreVolts);
        json.WriteNumber("halfSpanVolts", correction.HalfSpanVolts);
        json.WriteStartObject("covariance");
        json.WriteNumber("atCentre", c.AtCentre);
        json.WriteNumber("atCentreSlope", c.AtCentreSlope);
        json.WriteNumber("slope", c.Slope);
        json.WriteNumber("atCentreCubic", c.AtCentreCubic);
        json.WriteNumber("slopeCubic", c.SlopeCubic);
        json.WriteNumber("cubic", c.Cubic);
        json.WriteEndObject();
        json.WriteNumber("meterGainLimit", correction.MeterGainLimit);
        json.WriteNumber("meterZeroLimitVolts", correction.MeterZeroLimitVolts);
        json.WriteNumber("fromVolts", range.FromVolts);
        json.WriteNumber("toVolts", range.ToVolts);
        json.WriteNumber("points", quality.Points);
        json.WriteNumber("residualVolts", quality.ResidualVolts);
        json.WriteEndObject();
    }

    private static void WriteResistors(Utf8JsonWriter json, IReadOnlyList<MeasuredResistor> resistors)
    {
        json.WriteStartObject("resistors");
        foreach (var resistor in resistors)
        {
            json.WriteStartObject(CalibrationText.Key(resistor.Place));
            json.WriteNumber("nominalOhms", resistor.NominalOhms);
            json.WriteNumber("ohms", resistor.Ohms);
            json.WriteNumber("uncertaintyOhms", resistor.UncertaintyOhms);
            json.WriteEndObject();
        }
        json.WriteEndObject();
    }

    private static void WriteRails(Utf8JsonWriter json, IReadOnlyList<MeasuredRail> rails)
    {
        json.WriteStartObject("rails");
        foreach (var rail in rails)
        {
            json.WriteStartObject(CalibrationText.Key(rail.Place));
            json.WriteNumber("setVolts", rail.SetVolts);
            json.WriteNumber("volts", rail.Volts);
            json.WriteNumber("uncertaintyVolts", rail.UncertaintyVolts);
            json.WriteEndObject();
        }
        json.WriteEndObject();
    }
}
