using System.Text.Json;
using System.Text.Json.Nodes;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Sweeps.Interlocks;

/// <summary>A bench's own limits as JSON: <c>{ "limits": { "grid-current": { "attended": 6, "unattended": 4 } } }</c>, each in the unit of its rule.</summary>
public static class RuleDocument
{
    public const int MaxCharacters = 20_000;

    private static readonly string[] Ids = [.. InterlockRules.WithLimit.Select(r => r.Id)];

    /// <summary>JSON Schema (2020-12), made of the rules.</summary>
    public static string Schema { get; } = MakeSchema();

    /// <returns>The limits, or every fault with value, limit and remedy.</returns>
    public static Outcome<RuleSettings> Read(string json) => DocumentText.Open(json, MaxCharacters, "a document of interlock limits", Read);

    private static Outcome<RuleSettings> Read(JsonElement element) => DocumentText.Read(element, "a document of interlock limits", (top, faults) =>
    {
        if (ObjectReader.Open(top, "", faults, "$schema", "limits")?.Object("limits", needed: true, Ids) is not { } limits) return null;
        var set = new Dictionary<string, RuleSetting>(StringComparer.Ordinal);
        foreach (var rule in InterlockRules.WithLimit)
            if (limits.Object(rule.Id, needed: false, "attended", "unattended") is { } one) set.Add(rule.Id, Setting(rule, one, faults));
        return new RuleSettings(set);
    });

    private static RuleSetting Setting(InterlockRule rule, ObjectReader one, List<Refusal> faults)
    {
        var limit = rule.Limit!;
        var attended = one.Has("attended") ? one.Number("attended", limit.Least, limit.Most, limit.Unit.Symbol) : null;
        var unattended = one.Has("unattended") ? one.Number("unattended", limit.Least, limit.Most, limit.Unit.Symbol) : null;
        if (unattended is { } alone && limit.Tighter(alone, attended ?? limit.Attended) != alone)
        {
            var with = attended ?? limit.Attended;
            faults.Add(new("unattended-looser", $"/limits/{rule.Id}/unattended", $"unattended {limit.Text(alone)} is asked for",
                $"it may not be looser than the {limit.Text(with)} that hold while somebody is there", $"Write {limit.Text(with)} or tighter."));
        }
        return new(attended, unattended);
    }

    private static string MakeSchema()
    {
        var limits = new JsonObject();
        foreach (var rule in InterlockRules.WithLimit)
        {
            var limit = rule.Limit!;
            limits[rule.Id] = new JsonObject
            {
                ["description"] = $"{rule.Title}. Unit: {limit.Unit.Symbol}. {(limit.Loosest > limit.Tightest ? "Lower" : "Higher")} is tighter.",
                ["type"] = "object",
                ["additionalProperties"] = false,
                ["properties"] = new JsonObject { ["attended"] = Number(limit, limit.Attended), ["unattended"] = Number(limit, limit.Unattended) },
            };
        }
        return new JsonObject
        {
            ["$schema"] = "https://json-schema.org/draft/2020-12/schema",
            ["title"] = "Interlock limits of a bench",
            ["type"] = "object",
            ["additionalProperties"] = false,
            ["required"] = new JsonArray("limits"),
            ["properties"] = new JsonObject
            {
                ["$schema"] = new JsonObject { ["type"] = "string" },
                ["limits"] = new JsonObject { ["type"] = "object", ["additionalProperties"] = false, ["properties"] = limits },
            },
        }.ToJsonString(new() { WriteIndented = true });
    }

    private static JsonObject Number(RuleLimit limit, double otherwise) => new() { ["type"] = "number", ["minimum"] = limit.Least, ["maximum"] = limit.Most, ["default"] = otherwise };
}
