using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;
using SweepRig.Domain.Watching;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>Walks the document of alarms. Reads every part even after a fault, so that all faults come out at once.</summary>
internal static class AlarmReader
{
    private const int MostWays = 20, MostRules = 50, LongestName = 40, LongestText = 500;

    /// <returns>What it says, or null when faults were added.</returns>
    public static AlarmConfig? Read(JsonElement element, List<Refusal> faults)
    {
        var root = ObjectReader.Open(element, "", faults, "format", "ways", "rules", "mostPerHour", "gatherMinutes", "heartbeat", "report");
        if (root is null) return null;
        _ = root.Word("format", AlarmDocument.Format);
        var ways = root.Objects("ways", MostWays, "name", "webhook", "mail", "command").Select(WayReader.Read).OfType<AlarmWay>().ToList();
        if (ways.GroupBy(w => w.Name).FirstOrDefault(g => g.Count() > 1) is { } twice) root.Fault("way-twice", "ways", $"two ways are called \"{twice.Key}\"", "each needs a name of its own", "Rename one.");
        // A way that is at fault itself is not also called unknown.
        var names = ways.Select(w => w.Name).Concat(Names(element)).Distinct().ToList();
        var rules = root.Objects("rules", MostRules, "least", "kinds", "rigs", "to").Select(r => Rule(r, names)).OfType<AlarmRule>().ToList();
        var most = root.Whole("mostPerHour", 1, 1000, "messages", otherwise: AlarmConfig.None.MostPerHour);
        var gather = root.Has("gatherMinutes") ? root.Number("gatherMinutes", 0.1, 1440, "min") : AlarmConfig.None.Gather.TotalMinutes;
        var heartbeat = Heartbeat(root);
        var report = Report(root, ways, names);
        if (ways.Count > 0 && rules.Count == 0 && report is null && faults.Count == 0) root.Fault("no-rules", "rules", "there are ways and no rule", "a rule says which events go where", "Add { \"least\": \"alarm\", \"to\": [\"" + ways[0].Name + "\"] }.");
        return faults.Count > 0 ? null : new(ways, rules, most!.Value, TimeSpan.FromMinutes(gather!.Value), heartbeat, report);
    }

    public static string? Name(ObjectReader reader) => reader.Line("name", LongestName);

    private static IEnumerable<string> Names(JsonElement element) =>
        element.TryGetProperty("ways", out var ways) && ways.ValueKind == JsonValueKind.Array
            ? ways.EnumerateArray().Where(w => w.ValueKind == JsonValueKind.Object && w.TryGetProperty("name", out var n) && n.ValueKind == JsonValueKind.String).Select(w => w.GetProperty("name").GetString()!)
            : [];

    private static AlarmRule? Rule(ObjectReader rule, List<string> names)
    {
        var least = rule.Word("least", [.. EventWords.Severities]);
        var kinds = new List<EventKind>();
        foreach (var word in rule.Lines("kinds", Enum.GetValues<EventKind>().Length, LongestName))
        {
            if (EventWords.Kind(word) is { } kind) kinds.Add(kind);
            else rule.Fault("kind-not-understood", "kinds", $"a kind is \"{word}\"", string.Join(", ", EventWords.Kinds), NearestKey.Of(word, EventWords.Kinds) is { } near ? $"Did you mean \"{near}\"?" : "Name one of these, or leave kinds out for all.");
        }
        var rigs = rule.Lines("rigs", 64, LongestName);
        var to = To(rule, names, needed: true);
        return least is null ? null : new(EventWords.Severity(least)!.Value, kinds, rigs, to);
    }

    private static IReadOnlyList<string> To(ObjectReader reader, List<string> names, bool needed)
    {
        var to = reader.Lines("to", MostWays, LongestName);
        if (needed && to.Count == 0 && !reader.Has("to")) reader.Fault("missing-key", "to", "the key \"to\" is missing", "a list of names of ways is needed", "Add \"to\": [\"...\"].");
        foreach (var name in to.Where(n => !names.Contains(n)))
            reader.Fault("way-unknown", "to", $"a way is called \"{name}\"", names.Count == 0 ? "the document has no ways" : $"the ways are {string.Join(", ", names)}", NearestKey.Of(name, names) is { } near ? $"Did you mean \"{near}\"?" : "Add the way, or correct its name.");
        return to;
    }

    private static HeartbeatConfig? Heartbeat(ObjectReader root)
    {
        if (root.Object("heartbeat", false, "everySeconds", "url", "file") is not { } heartbeat) return null;
        var every = heartbeat.Has("everySeconds") ? heartbeat.Number("everySeconds", 5, 86_400, "s") : 60;
        var url = heartbeat.Has("url") ? WayReader.Url(heartbeat) : null;
        var file = heartbeat.Has("file") ? heartbeat.Line("file", LongestText) : null;
        if (!heartbeat.Has("url") && !heartbeat.Has("file")) heartbeat.Fault("missing-key", "url", "neither url nor file is given", "a sign of life goes somewhere", "Add \"url\", \"file\", or both.");
        return every is null ? null : new(TimeSpan.FromSeconds(every.Value), url, file);
    }

    private static ReportConfig? Report(ObjectReader root, List<AlarmWay> ways, List<string> names)
    {
        if (root.Object("report", false, "at", "timeZone", "to") is not { } report) return null;
        var at = report.TimeOfDay("at", "07:00");
        TimeZoneInfo? zone = null;
        if (report.Line("timeZone", LongestName) is { } name && !(TimeZoneInfo.TryFindSystemTimeZoneById(name, out zone) && zone.HasIanaId))
            report.Fault("zone-unknown", "timeZone", $"the time zone is \"{name}\"", "a name of the IANA time-zone data that this computer has is needed", "Write for example \"Europe/Oslo\" or \"Etc/UTC\"; if none is known here, install the package tzdata.");
        var to = To(report, names, needed: false);
        foreach (var other in to.Where(n => ways.Any(w => w.Name == n && w is not AlarmWay.Mail))) report.Fault("way-no-mail", "to", $"the report is to go to \"{other}\"", "a report goes by mail alone", "Name a way of mail, or leave it out; the report is made all the same.");
        return at is null || zone is null ? null : new(at.Value, zone, to);
    }
}
