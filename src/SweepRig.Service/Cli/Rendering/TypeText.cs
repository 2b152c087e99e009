using System.Globalization;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A type for a terminal.</summary>
public static class TypeText
{
    public static IEnumerable<string> Lines(TypeDetailView type, Ink ink)
    {
        var head = type.Summary;
        yield return ink.Strong($"{head.Name}{(head.Aliases.Count > 0 ? $" ({string.Join(", ", head.Aliases)})" : "")}, {head.Kind}");
        if (head.File is { } file) yield return head.Replaces is { } replaced ? $"yours, from {file}, in place of SweepRig's {replaced}" : $"yours, from {file}";
        if (type.Caution is { } caution) yield return $"{ink.Alarm("CAUTION")}  {caution}";
        if (type.NotSweptBecause is { } because) yield return $"Not swept. {because}";
        if (type.Note is { } note) yield return note;
        yield return $"heater  {(head.Heaters.Count == 0 ? "none" : string.Join(" or ", head.Heaters.Select(h => $"{N(h.Volts)} V {N(h.Amperes)} A")))}{(type.IsDirectlyHeated ? ", the filament is the cathode" : "")}";
        yield return $"base    {type.Basing.Name}{(type.Basing.Code is { } code ? $" {code}" : "")}, {Sure(type.Basing.Confidence)}";
        yield return $"pins    {string.Join("  ", type.Basing.Pins.Select((p, i) => $"{i + 1} {p}"))}";
        foreach (var section in type.Sections) yield return $"        section {section.Number}, {section.Name}: {string.Join(", ", section.Pins)}; its number is the tube's with /{section.Number}";
        if (type.Ratings.Count > 0) yield return "";
        foreach (var line in Ratings(type).Lines(ink)) yield return line;
        foreach (var line in Limits(type)) yield return line;
        if (type.TypicalPoints.Count > 0) yield return "";
        foreach (var line in Points(type, ink)) yield return line;
        yield return "";
        foreach (var source in type.Sources) yield return source;
    }

    private static TextTable Ratings(TypeDetailView type)
    {
        var table = new TextTable(("rating", false), ("at most", true), ("", false), ("rating system", false), ("how sure", false));
        foreach (var r in type.Ratings) table.Row(r.Limit, N(r.Value), r.Unit, r.System, Sure(r.Confidence));
        return table;
    }

    private static IEnumerable<string> Limits(TypeDetailView type)
    {
        if (type.NotSweptBecause is not null) yield break;
        if (type.Limits.Count == 0) yield return "A bench keeps no limit of this type: no table gives one.";
        foreach (var limit in type.Limits)
            yield return $"A bench keeps {limit.What.Replace('-', ' ')} at {N(limit.Watts)} W or less{(limit.Because is { } why ? $": {why}" : "")}.";
    }

    private static IEnumerable<string> Points(TypeDetailView type, Ink ink)
    {
        if (type.TypicalPoints.Count == 0) return [];
        var table = new TextTable(("plate", true), ("screen", true), ("grid", true), ("Ia mA", true), ("Is mA", true), ("mA/V", true), ("mu", true), ("ra kohm", true), ("how sure", false));
        foreach (var p in type.TypicalPoints)
        {
            table.Row(
                $"{N(p.PlateVolts)} V", p.ScreenVolts is { } s ? $"{N(s)} V" : "", p.GridVolts is { } g ? $"{N(g)} V" : $"Rk {N(p.CathodeOhms ?? 0)}", N(p.PlateMilliamperes), N(p.ScreenMilliamperes),
                N(p.MilliampsPerVolt), N(p.Mu), N(p.PlateKilohms), Sure(p.Confidence));
        }
        return table.Lines(ink);
    }

    private static string Sure(string confidence) => confidence.Replace('-', ' ');

    private static string N(double? value) => value?.ToString("0.###", CultureInfo.InvariantCulture) ?? "";
}
