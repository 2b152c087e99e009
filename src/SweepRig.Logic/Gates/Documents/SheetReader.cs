using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Gates.Documents;

/// <summary>Walks the document of a sheet. Reads every gate even after a fault, so that all faults come out at once.</summary>
internal static class SheetReader
{
    /// <summary>What stands for a place that takes any tube.</summary>
    public const string Any = "any";

    private const int LongestText = 80, LongestNote = 400, LongestName = 40, MostSignals = 64;

    /// <returns>The sheet, or null when faults were added.</returns>
    public static GateSheet? Read(JsonElement element, List<Refusal> faults)
    {
        var root = ObjectReader.Open(element, "", faults, "$schema", "format", "name", "note", "rails", "inputs", "outputs", "values", "choose", "gates", "loads");
        if (root is null) return null;
        _ = root.Word("format", SheetDocument.Format);
        var name = root.Line("name", LongestText);
        var note = root.Has("note") ? root.Line("note", LongestNote) : null;
        var rails = Rails(root);
        var (inputs, outputs) = (root.Lines("inputs", MostSignals, LongestName), root.Lines("outputs", MostSignals, LongestName));
        var open = Open(root);
        var values = SheetValues.Read(root, CellValues.Usual);
        List<GateEntry?> entries = [.. root.Objects("gates", GateSheet.MostEntries, "kind", "inputs", "outputs", "tubes", "values", "choose").Select(g => Entry(g, values, open))];
        List<GateLoad?> loads = [.. root.Objects("loads", MostSignals, "signal", "to", "ohms", "picofarads").Select(Load)];
        if (faults.Count > 0) return null;
        var sheet = new GateSheet(name!, rails!, inputs, outputs, [.. entries.OfType<GateEntry>()]) { Note = note, Values = open ? null : values ?? CellValues.Usual, Loads = [.. loads.OfType<GateLoad>()] };
        faults.AddRange(SheetChecks.Find(sheet));
        return faults.Count > 0 ? null : sheet;
    }

    private static GateRails? Rails(ObjectReader root)
    {
        if (root.Object("rails", true, "plateVolts", "biasVolts", "heaterVolts") is not { } read) return null;
        var (plate, bias, heater) = (read.Number("plateVolts", 1, 60, "V"), read.Number("biasVolts", -60, 0, "V"), read.Number("heaterVolts", 0.5, 60, "V"));
        return plate is null || bias is null || heater is null ? null : new(plate.Value, bias.Value, heater.Value);
    }

    private static bool Open(ObjectReader part)
    {
        var open = part.Has("choose") && part.Flag("choose");
        if (open && part.Has("values")) part.Fault("two-shapes", "choose", "values and choose both stand here", "values are written, or chosen by a search", "Take one of them out.");
        return open;
    }

    // Where nothing is said of values anywhere, a gate has those that are usual for its kind.
    private static GateEntry? Entry(ObjectReader part, CellValues? ofSheet, bool isSheetOpen)
    {
        var kind = part.Line("kind", LongestName);
        var (inputs, outputs) = (part.Lines("inputs", MostSignals, LongestName), part.Lines("outputs", MostSignals, LongestName));
        var tubes = part.Has("tubes") ? part.Lines("tubes", MostSignals, LongestName) : [];
        var open = Open(part);
        var usual = CellValues.Usual with { Stage = CircuitExamples.UsualOf(kind) };
        var values = SheetValues.Read(part, ofSheet ?? usual) ?? (ofSheet is null && !isSheetOpen && !open && usual != CellValues.Usual ? usual : null);
        return kind is null ? null : new GateEntry(kind, inputs, outputs) { Tubes = [.. tubes.Select(t => t.Trim()).Select(t => t == Any ? null : t.ToUpperInvariant())], Values = values, IsOpen = open };
    }

    private static GateLoad? Load(ObjectReader part)
    {
        var signal = part.Line("signal", LongestName);
        var to = part.Has("to") ? part.Word("to", "ground", "plate", "bias") : "ground";
        var ohms = part.Has("ohms") ? part.Number("ohms", 1, NetworkChecks.MostOhms, "Ω") : null;
        var farads = part.Has("picofarads") ? part.Number("picofarads", 1e-6, 1e9, "pF") * 1e-12 : 0;
        if (!part.Has("ohms") && !part.Has("picofarads")) part.Fault("load-empty", "", "the load has neither ohms nor picofarads", "a load is one of them or both", "Write \"ohms\": 47000, or \"picofarads\": 100.");
        if (signal is null || to is null || farads is null) return null;
        return new(signal, to switch { "plate" => LoadEnd.Plate, "bias" => LoadEnd.Bias, _ => LoadEnd.Ground }, ohms, farads.Value);
    }
}
