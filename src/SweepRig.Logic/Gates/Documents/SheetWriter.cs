using System.Text.Json;
using System.Text.Json.Nodes;

namespace SweepRig.Logic.Gates.Documents;

/// <summary>Writes a sheet as the document that <see cref="SheetDocument"/> reads, so that it can be kept, sent and changed by hand.</summary>
public static class SheetWriter
{
    private static readonly JsonSerializerOptions Indented = new() { WriteIndented = true, Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public static string Write(GateSheet sheet)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        var document = new JsonObject { ["format"] = SheetDocument.Format, ["name"] = sheet.Name };
        if (sheet.Note is { } note) document["note"] = note;
        document["rails"] = new JsonObject { ["plateVolts"] = sheet.Rails.Plate, ["biasVolts"] = sheet.Rails.Bias, ["heaterVolts"] = sheet.Rails.Heater };
        (document["inputs"], document["outputs"]) = (Lines(sheet.Inputs), Lines(sheet.Outputs));
        if (sheet.Values is { } values) document["values"] = SheetValues.Write(values);
        else document["choose"] = true;
        document["gates"] = new JsonArray([.. sheet.Entries.Select(Entry)]);
        if (sheet.Loads.Count > 0) document["loads"] = new JsonArray([.. sheet.Loads.Select(Load)]);
        return document.ToJsonString(Indented) + "\n";
    }

    private static JsonObject Entry(GateEntry entry)
    {
        var written = new JsonObject { ["kind"] = entry.Kind, ["inputs"] = Lines(entry.Inputs), ["outputs"] = Lines(entry.Outputs) };
        if (entry.Tubes.Count > 0) written["tubes"] = Lines(entry.Tubes.Select(t => t ?? SheetReader.Any));
        if (entry.IsOpen) written["choose"] = true;
        else if (entry.Values is { } values) written["values"] = SheetValues.Write(values);
        return written;
    }

    private static JsonObject Load(GateLoad load)
    {
        var written = new JsonObject { ["signal"] = load.Signal, ["to"] = load.To switch { LoadEnd.Plate => "plate", LoadEnd.Bias => "bias", _ => "ground" } };
        if (load.Ohms is { } ohms) written["ohms"] = ohms;
        if (load.Farads > 0) written["picofarads"] = (double)((decimal)load.Farads * 1e12m);
        return written;
    }

    private static JsonArray Lines(IEnumerable<string> lines) => new([.. lines.Select(l => (JsonNode)l)]);
}
