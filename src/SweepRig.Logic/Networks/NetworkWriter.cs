using System.Text.Json;
using System.Text.Json.Nodes;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Networks;

/// <summary>Writes a network as the document that <see cref="NetworkDocument"/> reads, so that it can be kept, sent and changed by hand.</summary>
public static class NetworkWriter
{
    private static readonly JsonSerializerOptions Indented = new() { WriteIndented = true, Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public static string Write(Network network)
    {
        ArgumentNullException.ThrowIfNull(network);
        var document = new JsonObject { ["format"] = NetworkDocument.Format, ["name"] = network.Name };
        List("sources", network.Parts.OfType<Source>().Select(Source));
        List("resistors", network.Parts.OfType<Resistor>().Select(r => new JsonObject { ["name"] = r.Name, ["from"] = r.A, ["to"] = r.B, ["ohms"] = r.Ohms }));
        List("capacitors", network.Parts.OfType<Capacitor>().Select(c => new JsonObject { ["name"] = c.Name, ["from"] = c.A, ["to"] = c.B, ["picofarads"] = Pico(c.Farads) }));
        List("diodes", network.Parts.OfType<Diode>().Select(d => new JsonObject { ["name"] = d.Name, ["anode"] = d.Anode, ["cathode"] = d.Cathode, ["saturationAmperes"] = d.SaturationAmps, ["emission"] = d.Emission }));
        List("tubes", network.Tubes.Select(Tube));
        return document.ToJsonString(Indented) + "\n";

        void List(string key, IEnumerable<JsonObject> parts)
        {
            var list = new JsonArray([.. parts]);
            if (list.Count > 0) document[key] = list;
        }
    }

    private static JsonObject Source(Source source)
    {
        var written = new JsonObject { ["name"] = source.Name, ["plus"] = source.Plus, ["minus"] = source.Minus };
        if (source.Volts.IsSteady) written["volts"] = source.Volts.At(0);
        else written["corners"] = new JsonArray([.. source.Volts.Corners.Select(c => new JsonObject { ["microseconds"] = Micro(c.Seconds), ["volts"] = c.Volts })]);
        if (source.Volts.PeriodSeconds > 0) written["periodSeconds"] = source.Volts.PeriodSeconds;
        return written;
    }

    private static JsonObject Tube(TubePart tube)
    {
        var written = new JsonObject { ["name"] = tube.Name, ["connection"] = tube.IsTriode ? "triode" : "pentode", ["plate"] = tube.Plate };
        if (!tube.IsTriode && tube.Curve is null) written["screen"] = tube.Screen;
        (written["grid"], written["cathode"], written["heaterVolts"]) = (tube.Grid, tube.Cathode, tube.HeaterVolts);
        if (tube.Number is { } number) written["number"] = number;
        else
        {
            if (tube.TypeName is { } type) written["type"] = type;
            written["constants"] = new JsonObject(TubeParameterRanges.All.Select(k => KeyValuePair.Create(k.Key, (JsonNode?)k.Get(tube.Model.Parameters))));
        }
        if (tube.Curve is not null) written["measured"] = true;
        if (tube.HeaterAmps is { } amps) written["heaterMilliamperes"] = Math.Round(amps * 1e3, 6);
        var c = tube.Capacitances;
        if (c != TubeCapacitances.Typical)
        {
            written["capacitances"] = new JsonObject
            {
                ["gridCathodePicofarads"] = Pico(c.GridCathode), ["gridPlatePicofarads"] = Pico(c.GridPlate),
                ["plateCathodePicofarads"] = Pico(c.PlateCathode), ["gridScreenPicofarads"] = Pico(c.GridScreen),
            };
        }
        return written;
    }

    // Written as a decimal fraction again, not as what is left of it after a multiplication in binary.
    private static double Pico(double farads) => (double)((decimal)farads * 1e12m);

    private static double Micro(double seconds) => (double)((decimal)seconds * 1e6m);
}
