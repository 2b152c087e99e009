using System.Text.Json.Nodes;
using SweepRig.Domain;
using SweepRig.Domain.Rigs;
using SweepRig.Domain.Tubes;
using SweepRig.Sweeps.Queue;
using SweepRig.Sweeps.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Sweeps.Tests.Queue;

/// <summary>Documents of nights and nights made of them.</summary>
internal static class Nights
{
    public static DateTimeOffset Evening { get; } = new(2026, 11, 26, 20, 0, 0, TimeSpan.Zero);

    public static string Job(string name, string more = "", string work = "sweep", string plan = "\"gentle-pentode\"") => $$"""{ "name": "{{name}}", "do": "{{work}}", "plan": {{plan}}{{(more.Length > 0 ? ", " + more : "")}} }""";

    /// <summary>Two tubes, from nine in the evening to five in the morning of a zone without summer time, unless something else is said.</summary>
    public static string Text(string jobs, string more = "", string window = """{ "from": "20:00", "to": "05:00" }""", string zone = "Etc/UTC", string sockets =
        """[{ "socket": 0, "tube": "SKUA-014", "type": "6AU6", "lot": "Skua" }, { "socket": 1, "tube": "SKUA-020", "type": "6AU6", "lot": "Skua" }]""") =>
        $$"""{ "format": "night/1", "name": "Skua", "timeZone": "{{zone}}", "window": {{window}}, "sockets": {{sockets}}, "jobs": [{{jobs}}]{{(more.Length > 0 ? ", " + more : "")}} }""";

    public static NightOrder Order(string text)
    {
        var read = NightDocument.Parse(text);
        Assert.True(read.IsAccepted, string.Join("\n", read.Refusals));
        return read.Value;
    }

    public static NightFacts Facts(DateTimeOffset? at = null) =>
        new(Samples.Rig, RigCalibration.Nominal(Samples.Rig), Samples.Rig.HardLimits, TimeSpan.FromSeconds(40), 1, TypeCatalogue.BuiltIn, at ?? Evening);

    public static Outcome<NightSetup> Check(string text, DateTimeOffset? at = null)
    {
        var order = Order(text);
        return NightChecks.Check(order, [.. order.Sockets.Select(s => new Tube(s.Label, s.TypeName!, s.Lot))], Facts(at));
    }

    public static NightSetup Setup(string text, DateTimeOffset? at = null)
    {
        var checkedNight = Check(text, at);
        Assert.True(checkedNight.IsAccepted, string.Join("\n", checkedNight.Refusals));
        return checkedNight.Value;
    }

    /// <summary>The document with one value set; a key of a path that is a number is a place in a list.</summary>
    public static string Set(string text, string pointer, JsonNode? value)
    {
        var root = JsonNode.Parse(text)!;
        var keys = pointer.Split('/', StringSplitOptions.RemoveEmptyEntries);
        var node = keys.SkipLast(1).Aggregate(root, (at, key) => at is JsonArray list ? list[int.Parse(key, System.Globalization.CultureInfo.InvariantCulture)]! : at[key]!);
        node[keys[^1]] = value;
        return root.ToJsonString();
    }
}
