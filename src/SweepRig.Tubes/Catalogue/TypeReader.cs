using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Tubes.Catalogue;

/// <summary>Walks the document of a type. Reads every part even after a fault, so that all faults come out at once.</summary>
internal static class TypeReader
{
    private const int MostPins = 14;
    private const int LongestSentence = 300;

    /// <returns>The type, or null when faults were added.</returns>
    public static TubeType? Read(JsonElement element, List<Refusal> faults)
    {
        var root = ObjectReader.Open(
            element, "", faults,
            "$schema", "format", "type", "replaces", "aliases", "kind", "heaters", "directlyHeated", "base", "ratings", "typicalPoints", "note", "caution", "notSweptBecause", "sources");
        if (root is null) return null;
        _ = root.Word("format", TypeDocument.Format);
        var name = root.Line("type", 20);
        var replaces = root.Has("replaces") ? root.Line("replaces", 20)?.Trim() : null;
        var aliases = root.Lines("aliases", 20, 20);
        var kind = TypeWords.Kinds.Read(root, "kind");
        var heaters = root.Objects("heaters", 3, "volts", "amperes").Select(Heater).ToArray();
        var directly = root.Flag("directlyHeated");
        var basing = ReadBase(root);
        var ratings = root.Objects("ratings", 40, "limit", "value", "system", "confidence").Select(Rating).ToArray();
        var points = root.Objects(
            "typicalPoints", 10, "plateVolts", "screenVolts", "gridVolts", "cathodeOhms", "plateMilliamperes", "screenMilliamperes", "milliampsPerVolt", "plateKilohms", "mu",
            "confidence").Select(Point).ToArray();
        var (note, caution, notSwept) = (Sentence(root, "note"), Sentence(root, "caution"), Sentence(root, "notSweptBecause"));
        var sources = root.Lines("sources", 20, LongestSentence);
        if (sources.Count == 0 && !root.Has("sources"))
            root.Fault("missing-key", "sources", "the key \"sources\" is missing", "at least one sentence is needed", "Say where the values were read, or that they are from memory.");
        if (kind is TubeKind.Diode or TubeKind.GasFilled && !root.Has("notSweptBecause"))
            root.Fault("missing-key", "notSweptBecause", $"kind is \"{TypeWords.Kinds.Word(kind.Value)}\" and nothing says that it is not swept", "a diode or a filled tube is never swept", "Add \"notSweptBecause\" with the reason.");
        if (heaters.Length == 0 && kind is not (null or TubeKind.GasFilled))
            root.Fault("bad-list", "heaters", "no heater stands here", "1 to 3 are needed", "Add [{\"volts\": 6.3, \"amperes\": 0.3}].");
        if (faults.Count > 0) return null;
        return new(name!.Trim(), [.. aliases.Select(a => a.Trim())], kind!.Value, [.. heaters.OfType<HeaterRating>()], basing!, [.. ratings.OfType<Rating>()])
        {
            TypicalPoints = [.. points.OfType<TypicalPoint>()],
            Sources = sources,
            IsDirectlyHeated = directly,
            Note = note,
            Caution = caution,
            NotSweptBecause = notSwept,
            Replaces = replaces,
        };
    }

    private static string? Sentence(ObjectReader root, string key) => root.Has(key) ? root.Line(key, LongestSentence) : null;

    private static HeaterRating? Heater(ObjectReader heater) =>
        (heater.Number("volts", 0.5, 120, "V"), heater.Number("amperes", 0.01, 20, "A")) is ({ } volts, { } amperes) ? new(new(volts), new(amperes)) : null;

    private static Basing? ReadBase(ObjectReader root)
    {
        if (root.Object("base", true, "name", "code", "pins", "confidence") is not { } read) return null;
        var name = read.Line("name", 20);
        var code = read.Has("code") ? read.Line("code", 8) : null;
        var pins = read.Lines("pins", MostPins, 12);
        var confidence = TypeWords.Confidences.Read(read, "confidence");
        return name is null || confidence is null ? null : new(name, code, pins, confidence.Value);
    }

    private static Rating? Rating(ObjectReader rating)
    {
        var kind = TypeWords.Limits.Read(rating, "limit");
        var value = rating.Number("value", 0.01, 100_000, TypeWords.UnitOf(kind));
        var system = TypeWords.Systems.Read(rating, "system");
        var confidence = TypeWords.Confidences.Read(rating, "confidence");
        if (kind is null || value is null || system is null || confidence is null) return null;
        return new(kind.Value, kind == RatingKind.CathodeCurrent ? value.Value / 1000 : value.Value, system.Value, confidence.Value);
    }

    private static TypicalPoint? Point(ObjectReader point)
    {
        if (point.Has("gridVolts") == point.Has("cathodeOhms"))
            point.Fault("both-biases", "gridVolts", "either both of gridVolts and cathodeOhms stand here or none", "one of them is needed", "Keep the one that the table gives.");
        var plate = point.Number("plateVolts", 1, 5_000, "V");
        var screen = Maybe("screenVolts", 1, 5_000, "V");
        var grid = Maybe("gridVolts", -500, 100, "V");
        var cathode = Maybe("cathodeOhms", 1, 1e6, "ohm");
        var plateCurrent = point.Number("plateMilliamperes", 0.001, 10_000, "mA");
        var screenCurrent = Maybe("screenMilliamperes", 0.001, 1_000, "mA");
        var slope = point.Number("milliampsPerVolt", 0.01, 100, "mA/V");
        var resistance = Maybe("plateKilohms", 0.01, 100_000, "kohm");
        var mu = Maybe("mu", 1, 1_000, "V/V");
        var confidence = TypeWords.Confidences.Read(point, "confidence");
        return plate is null || plateCurrent is null || slope is null || confidence is null
            ? null
            : new(plate.Value, screen, grid, cathode, plateCurrent.Value, screenCurrent, slope.Value, resistance, mu, confidence.Value);

        double? Maybe(string key, double min, double max, string unit) => point.Has(key) ? point.Number(key, min, max, unit) : null;
    }
}
