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
}
