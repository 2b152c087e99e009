using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace SweepRig.Domain.Plans.Reading;

/// <summary>Writes what <see cref="PlanReader"/> reads. Numbers come out in their shortest form that reads back the same.</summary>
internal static class PlanWriter
{
    private static readonly JsonWriterOptions Options = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public static string Write(SweepPlan plan)
    {
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream, Options))
        {
            json.WriteStartObject();
            json.WriteString("format", PlanDocument.Format);
            json.WriteString("name", plan.Name);
            WriteDrive(json, plan);
            json.WriteNumber("dwellMicroseconds", plan.DwellMicroseconds);
            WriteAveraging(json, plan.Averaging);
            if (plan.Settle is { } settle) WriteSettle(json, settle);
            json.WriteNumber("repeats", plan.Repeats);
            if (plan.SecondSource is { } second) WriteSecondSource(json, second);
            if (plan.Adaptive is { } adaptive) WriteAdaptive(json, adaptive);
            WriteConnection(json, plan.Connection);
            json.WriteEndObject();
        }
        return Encoding.UTF8.GetString(stream.GetBuffer(), 0, (int)stream.Length);
    }

    private static void WriteDrive(Utf8JsonWriter json, SweepPlan plan)
    {
        json.WriteStartObject("drive");
        json.WriteNumber("startVolts", plan.Start.Value);
        json.WriteNumber("stopVolts", plan.Stop.Value);
        json.WriteNumber("points", plan.Points);
        json.WriteString("direction", plan.Direction switch
        {
            SweepDirection.Up => "up",
            SweepDirection.Down => "down",
            SweepDirection.UpAndDown => "upAndDown",
            _ => throw new InvalidOperationException($"SweepRig bug: unknown direction {plan.Direction}."),
        });
        json.WriteEndObject();
    }

    private static void WriteAveraging(Utf8JsonWriter json, Averaging averaging)
    {
        json.WriteStartObject("averaging");
        switch (averaging)
        {
            case Averaging.Count count:
                json.WriteNumber("conversions", count.Conversions);
                break;
            case Averaging.MainsPeriods mains:
                json.WriteNumber("mainsPeriods", mains.Periods);
                json.WriteNumber("mainsHertz", mains.Hertz);
                break;
            default:
                throw new InvalidOperationException($"SweepRig bug: unknown averaging {averaging}.");
        }
        json.WriteEndObject();
    }

    private static void WriteSettle(Utf8JsonWriter json, SettleRule settle)
    {
        json.WriteStartObject("settle");
        json.WriteNumber("toleranceVolts", settle.Tolerance.Value);
        json.WriteNumber("timeoutMicroseconds", settle.TimeoutMicroseconds);
        json.WriteEndObject();
    }

    private static void WriteSecondSource(Utf8JsonWriter json, SecondSource second)
    {
        json.WriteStartObject("secondSource");
        json.WriteString("source", second.Source == SteppedSource.PlateRail ? "plateRail" : "heater");
        json.WriteNumber("fromVolts", second.From.Value);
        json.WriteNumber("toVolts", second.To.Value);
        json.WriteNumber("steps", second.Steps);
        json.WriteEndObject();
    }

    private static void WriteAdaptive(Utf8JsonWriter json, AdaptiveRule adaptive)
    {
        json.WriteStartObject("adaptive");
        json.WriteNumber("switchingUncertaintyVolts", adaptive.SwitchingUncertainty.Value);
        json.WriteNumber("firstPoints", adaptive.FirstPoints);
        json.WriteNumber("batchPoints", adaptive.BatchPoints);
        json.WriteEndObject();
    }

    private static void WriteConnection(Utf8JsonWriter json, Tubes.Connection connection)
    {
        json.WriteStartObject("connection");
        json.WriteString("kind", connection.Kind == Tubes.ConnectionKind.Pentode ? "pentode" : "triode");
        json.WriteNumber("plateRailVolts", connection.PlateRail.Value);
        json.WriteNumber("biasRailVolts", connection.BiasRail.Value);
        json.WriteNumber("heaterVolts", connection.Heater.Value);
        json.WriteNumber("plateResistorOhms", connection.PlateResistor.Value);
        json.WriteNumber("screenResistorOhms", connection.ScreenResistor.Value);
        json.WriteNumber("gridStopperOhms", connection.GridStopper.Value);
        json.WriteEndObject();
    }
}
