using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Logic.Networks;

/// <summary>Walks the document of a network. Reads every part even after a fault, so that all faults come out at once.</summary>
internal static class NetworkReader
{
    private const int LongestName = 24, LongestText = 80, MostCorners = 1_000;

    /// <returns>The network, or null when faults were added.</returns>
    public static Network? Read(JsonElement element, ITubeShelf shelf, List<Refusal> faults)
    {
        var root = ObjectReader.Open(element, "", faults, "$schema", "format", "name", "note", "sources", "resistors", "capacitors", "diodes", "tubes");
        if (root is null) return null;
        _ = root.Word("format", NetworkDocument.Format);
        var name = root.Line("name", LongestText);
        if (root.Has("note")) _ = root.Line("note", 400);
        List<Part?> parts =
        [
            .. root.Objects("sources", Network.MostParts, "name", "plus", "minus", "volts", "corners", "periodSeconds").Select(Source),
            .. root.Objects("resistors", Network.MostParts, "name", "from", "to", "ohms").Select(r => Two(r, "ohms", NetworkChecks.LeastOhms, NetworkChecks.MostOhms, "Ω", (n, a, b, v) => new Resistor(n, a, b, v))),
            .. root.Objects("capacitors", Network.MostParts, "name", "from", "to", "picofarads").Select(c => Two(c, "picofarads", 1e-6, 1e12, "pF", (n, a, b, v) => new Capacitor(n, a, b, v / 1e12))),
            .. root.Objects("diodes", Network.MostParts, "name", "anode", "cathode", "saturationAmperes", "emission").Select(Diode),
            .. root.Objects("tubes", Network.MostParts, NetworkTubeReader.Keys).Select(t => NetworkTubeReader.Read(t, shelf, faults)),
        ];
        if (faults.Count > 0) return null;
        var network = new Network(name!, [.. parts.OfType<Part>()]);
        faults.AddRange(NetworkChecks.Find(network));
        return faults.Count > 0 ? null : network;
    }

    public static string? Node(ObjectReader part, string key) => part.Line(key, LongestName);

    public static string? Name(ObjectReader part) => part.Line("name", LongestName);

    private static Part? Two(ObjectReader part, string key, double low, double high, string unit, Func<string, string, string, double, Part> make)
    {
        var (name, from, to) = (Name(part), Node(part, "from"), Node(part, "to"));
        var value = part.Number(key, low, high, unit);
        return name is null || from is null || to is null || value is null ? null : make(name, from, to, value.Value);
    }

    private static Part? Diode(ObjectReader part)
    {
        var (name, anode, cathode) = (Name(part), Node(part, "anode"), Node(part, "cathode"));
        if (name is null || anode is null || cathode is null) return null;
        var diode = new Diode(name, anode, cathode);
        if (part.Has("saturationAmperes")) diode = diode with { SaturationAmps = part.Number("saturationAmperes", 1e-18, 1e-3, "A") ?? diode.SaturationAmps };
        if (part.Has("emission")) diode = diode with { Emission = part.Number("emission", 0.5, 5, "") ?? diode.Emission };
        return diode;
    }

    private static Part? Source(ObjectReader part)
    {
        var (name, plus) = (Name(part), Node(part, "plus"));
        var minus = part.Has("minus") ? Node(part, "minus") : Network.Ground;
        var volts = Volts(part);
        return name is null || plus is null || minus is null || volts is null ? null : new Source(name, plus, minus, volts);
    }

    private static Waveform? Volts(ObjectReader part)
    {
        if (!part.Has("corners")) return part.Number("volts", -60, 60, "V") is { } steady ? Waveform.Steady(steady) : null;
        if (part.Has("volts")) part.Fault("two-shapes", "volts", "volts and corners both stand here", "a source is steady or has corners", "Take one of them out.");
        var corners = part.Objects("corners", MostCorners, "microseconds", "volts")
            .Select(c => (c.Number("microseconds", 0, 1e12, "µs"), c.Number("volts", -60, 60, "V")))
            .Where(c => c is ({ }, { })).Select(c => (c.Item1!.Value / 1e6, c.Item2!.Value)).ToList();
        var period = part.Has("periodSeconds") ? part.Number("periodSeconds", 1e-9, 1e6, "s") : 0;
        if (corners.Count == 0 || period is null) return null;
        try
        {
            return Waveform.Through(corners, period.Value);
        }
        catch (ArgumentException fault)
        {
            part.Fault("bad-corners", "corners", "the corners do not follow each other", fault.Message.Split(" (")[0].TrimEnd('.'), "Write rising times; a step is two corners a little apart.");
            return null;
        }
    }
}
