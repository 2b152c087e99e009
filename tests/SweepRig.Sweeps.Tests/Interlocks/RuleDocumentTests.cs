using System.Text.Json;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Sweeps.Tests.Interlocks;

public sealed class RuleDocumentTests
{
    [Fact]
    public void Limits_come_in_the_unit_of_their_rule()
    {
        var read = RuleDocument.Read("""{ "limits": { "grid-current": { "attended": 5, "unattended": 2.5 }, "drive-ceiling": { "unattended": 12 } } }""");
        Assert.Empty(read.Refusals);
        Assert.Equal((5e-3, 2.5e-3), (read.Value!.Of(DriveRules.GridCurrent, false), read.Value.Of(DriveRules.GridCurrent, true)));
        Assert.Equal((26.0, 12.0), (read.Value.Of(DriveRules.DriveCeiling, false), read.Value.Of(DriveRules.DriveCeiling, true)));
    }

    [Theory]
    [InlineData("""{ "limits": { "grid-current": { "attended": 21 } } }""", "out-of-range", "/limits/grid-current/attended", "21 mA", "0.1 to 20 mA")]
    [InlineData("""{ "limits": { "grid-current": { "attended": 4, "unattended": 5 } } }""", "unattended-looser", "/limits/grid-current/unattended", "5 mA", "4 mA")]
    [InlineData("""{ "limits": { "grid-current": { "unattended": 9 } } }""", "unattended-looser", "/limits/grid-current/unattended", "9 mA", "8 mA")]
    [InlineData("""{ "limits": { "grid-curent": { "attended": 4 } } }""", "unknown-key", "/limits", "grid-curent", "grid-current")]
    [InlineData("""{ "limits": { "link-lost": { "attended": 4 } } }""", "unknown-key", "/limits", "link-lost", "grid-current")]
    [InlineData("""{ "limits": { "grid-current": 4 } }""", "wrong-type", "/limits/grid-current", "4", "object")]
    [InlineData("""{ "limits": """, "malformed-json", "", "line 1", "JSON")]
    [InlineData("{ }", "missing-key", "/limits", "limits", "object")]
    public void A_fault_names_value_limit_and_place(string json, string code, string path, string value, string limit)
    {
        var refusal = Assert.Single(RuleDocument.Read(json).Refusals);
        Assert.StartsWith(path, refusal.Path, StringComparison.Ordinal);
        Assert.Equal(code, refusal.Code);
        Assert.Contains(value, refusal.ToString(), StringComparison.Ordinal);
        Assert.Contains(limit, refusal.ToString(), StringComparison.Ordinal);
        Assert.NotEmpty(refusal.Remedy);
    }

    [Fact]
    public void Every_fault_comes_at_once() => Assert.Equal(2, RuleDocument.Read("""{ "limits": { "grid-current": { "attended": 99 }, "drive-ceiling": { "attended": "much" } } }""").Refusals.Count);

    [Fact]
    public void The_schema_knows_the_rules_that_have_a_limit_and_no_others()
    {
        var limits = JsonDocument.Parse(RuleDocument.Schema).RootElement.GetProperty("properties").GetProperty("limits").GetProperty("properties");
        Assert.Equal(InterlockRules.WithLimit.Select(r => r.Id), limits.EnumerateObject().Select(p => p.Name));
        var grid = limits.GetProperty("grid-current").GetProperty("properties").GetProperty("attended");
        Assert.Equal((0.1, 20.0, 8.0), (grid.GetProperty("minimum").GetDouble(), grid.GetProperty("maximum").GetDouble(), grid.GetProperty("default").GetDouble()));
    }

    /// <summary>As the reader does, by the keyword of JSON Schema 2020-12 (core, 10.3.2.3).</summary>
    [Fact]
    public void The_schema_lets_no_other_key_stand_anywhere()
    {
        var top = JsonDocument.Parse(RuleDocument.Schema).RootElement;
        var limits = top.GetProperty("properties").GetProperty("limits");
        Assert.False(top.GetProperty("additionalProperties").GetBoolean());
        Assert.False(limits.GetProperty("additionalProperties").GetBoolean());
        Assert.All(limits.GetProperty("properties").EnumerateObject(), rule => Assert.False(rule.Value.GetProperty("additionalProperties").GetBoolean(), rule.Name));
        Assert.Equal("limits", Assert.Single(top.GetProperty("required").EnumerateArray()).GetString());
    }

    [Fact]
    public void The_schema_is_written_for_people_to_read() => Assert.Contains("\n  ", RuleDocument.Schema, StringComparison.Ordinal);

    [Fact]
    public void A_document_is_read_up_to_its_longest()
    {
        const string Text = """{ "limits": { } }""";
        Assert.Empty(RuleDocument.Read(Text.PadRight(20_000)).Refusals);
        Assert.Equal("document-too-long", Assert.Single(RuleDocument.Read(Text.PadRight(20_001)).Refusals).Code);
    }

    [Fact]
    public void A_rule_that_is_named_without_a_number_keeps_its_defaults()
    {
        var read = RuleDocument.Read("""{ "limits": { "grid-current": { } } }""").Value!;
        Assert.Equal((8.0, 6.0), (read.Shown(DriveRules.GridCurrent, unattended: false), read.Shown(DriveRules.GridCurrent, unattended: true)));
        Assert.True(read.IsSet(DriveRules.GridCurrent));
        Assert.False(read.IsSet(DriveRules.DriveCeiling));
    }
}
