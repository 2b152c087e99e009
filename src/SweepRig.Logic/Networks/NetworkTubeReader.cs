using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Logic.Networks;

/// <summary>Reads a tube of a network: its leads, and its constants either written out or by its number in the stock.</summary>
internal static class NetworkTubeReader
{
    public static readonly string[] Keys = ["name", "connection", "plate", "screen", "grid", "cathode", "number", "type", "constants", "heaterVolts", "heaterMilliamperes", "capacitances", "measured"];

    public static TubePart? Read(ObjectReader part, ITubeShelf shelf, List<Refusal> faults)
    {
        var name = NetworkReader.Name(part);
        var connection = part.Word("connection", "pentode", "triode");
        var (plate, grid) = (NetworkReader.Node(part, "plate"), NetworkReader.Node(part, "grid"));
        var cathode = part.Has("cathode") ? NetworkReader.Node(part, "cathode") : Network.Ground;
        var measured = part.Has("measured") && part.Flag("measured");
        var screen = measured ? MeasuredScreen(part, connection, plate, cathode) : Screen(part, connection, plate);
        var capacitances = Capacitances(part);
        var heater = part.Has("heaterVolts") ? part.Number("heaterVolts", 0.5, 60, "V") : null;
        var amps = part.Has("heaterMilliamperes") ? part.Number("heaterMilliamperes", 1, 5000, "mA") * 1e-3 : null;
        var type = part.Has("type") ? part.Line("type", 20) : null;
        var tube = Tube(part, shelf, faults, type, heater);
        var curve = measured && connection is not null ? Curve(part, shelf, connection, tube) : null;
        if (name is null || connection is null || plate is null || grid is null || cathode is null || screen is null || capacitances is null || tube is null || faults.Count > 0) return null;
        return new(name, plate, screen, grid, cathode, new TubeModel(tube.Constants, new Volts(tube.HeaterVolts)))
        {
            Capacitances = capacitances,
            Number = tube.Number.Length == 0 ? null : tube.Number,
            TypeName = tube.TypeName.Length == 0 ? null : tube.TypeName,
            Range = tube.Range,
            HeaterVolts = tube.HeaterVolts,
            HeaterAmps = amps ?? tube.HeaterAmps,
            Curve = curve,
        };
    }

    private static MeasuredCurve? Curve(ObjectReader part, ITubeShelf shelf, string connection, ShelfTube? tube)
    {
        if (tube is { Number.Length: 0 }) part.Fault("measured-constants", "measured", "a tube of written constants is to be taken as measured", "only a tube of the stock has been", "Take \"measured\" out, or name a tube of the stock.");
        if (tube is not { Number.Length: > 0 }) return null;
        var found = shelf.Curve(tube.Number, connection == "triode" ? ConnectionKind.Triode : ConnectionKind.Pentode);
        foreach (var refusal in found.Refusals) part.Fault(refusal.Code, "measured", refusal.Asked, refusal.Allowed, refusal.Remedy);
        return found.Value;
    }

    // Screen and its resistor were part of what was measured.
    private static string? MeasuredScreen(ObjectReader part, string? connection, string? plate, string? cathode)
    {
        if (!part.Has("screen")) return connection == "triode" ? plate : cathode;
        part.Fault("screen-of-measured", "screen", "a screen node stands here", "a measured curve has the screen and its resistor in it", "Take it out, and the screen's resistor too.");
        return null;
    }

    private static string? Screen(ObjectReader part, string? connection, string? plate)
    {
        if (connection == "pentode") return NetworkReader.Node(part, "screen");
        if (!part.Has("screen")) return plate;
        part.Fault("screen-in-triode", "screen", "a screen node stands here", "in triode connection the screen is tied to the plate", "Take it out, or write \"connection\": \"pentode\".");
        return null;
    }

    private static ShelfTube? Tube(ObjectReader part, ITubeShelf shelf, List<Refusal> faults, string? type, double? heater)
    {
        if (part.Has("number") == part.Has("constants"))
        {
            part.Fault("which-tube", "", part.Has("number") ? "number and constants both stand here" : "neither number nor constants stand here",
                "a tube is one of the stock, or has its constants written here", "Write \"number\": \"SKUA-014\", or \"constants\": { … }.");
            return null;
        }
        if (part.Has("constants")) return Constants(part) is { } constants ? new("", type ?? "", constants, heater ?? constants.RatedHeater) : null;
        if (part.Line("number", 40) is not { } number) return null;
        var found = shelf.Find(number.Trim().ToUpperInvariant());
        if (found.Value is { } tube) return heater is null ? tube : tube with { HeaterVolts = heater.Value };
        foreach (var refusal in found.Refusals) part.Fault(refusal.Code, "number", refusal.Asked, refusal.Allowed, refusal.Remedy);
        return null;
    }

    private static TubeParameters? Constants(ObjectReader part)
    {
        if (part.Object("constants", true, [.. TubeParameterRanges.All.Select(k => k.Key)]) is not { } read) return null;
        // Every constant that is needed is written over.
        var constants = ExampleTubes.Sound6AU6;
        var whole = true;
        foreach (var key in TubeParameterRanges.All)
        {
            if (!key.Needed && !read.Has(key.Key)) continue;
            if (read.Number(key.Key, key.Low, key.High, key.Unit) is { } value) constants = key.With(constants, value);
            else whole = false;
        }
        return whole ? constants : null;
    }

    private static TubeCapacitances? Capacitances(ObjectReader part)
    {
        var typical = TubeCapacitances.Typical;
        if (part.Object("capacitances", false, "gridCathodePicofarads", "gridPlatePicofarads", "plateCathodePicofarads", "gridScreenPicofarads") is not { } read) return typical;
        return new(
            Of("gridCathodePicofarads", typical.GridCathode), Of("gridPlatePicofarads", typical.GridPlate),
            Of("plateCathodePicofarads", typical.PlateCathode), Of("gridScreenPicofarads", typical.GridScreen));

        double Of(string key, double otherwise) => read.Has(key) ? (read.Number(key, 0, 1000, "pF") ?? 0) * 1e-12 : otherwise;
    }
}
