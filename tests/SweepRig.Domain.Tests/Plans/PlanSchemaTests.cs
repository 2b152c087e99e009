using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using SweepRig.Domain.Plans;

namespace SweepRig.Domain.Tests.Plans;

/// <summary>Checks the published schema with an independent validator (JsonSchema.Net), draft 2020-12.</summary>
public sealed class PlanSchemaTests
{
    private static readonly JsonSchema Schema = JsonSchema.FromText(PlanDocument.Schema);

    public static TheoryData<string> Expressible => [.. BadDocuments.All.Where(c => c.Value.SchemaRefuses).Select(c => c.Key)];

    /// <summary>Without the two that not every validator can even load.</summary>
    public static TheoryData<string> Inexpressible =>
        [.. BadDocuments.All.Where(c => !c.Value.SchemaRefuses && c.Value.Code is not ("not-finite" or "duplicate-key")).Select(c => c.Key)];

    [Fact]
    public void The_schema_is_itself_valid() => Assert.True(Evaluate(MetaSchemas.Draft202012, PlanDocument.Schema));

    [Fact]
    public void Its_own_example_passes_schema_and_reader()
    {
        var examples = JsonNode.Parse(PlanDocument.Schema)!["examples"]!.AsArray();
        Assert.NotEmpty(examples);
        Assert.All(examples, e =>
        {
            Assert.True(Evaluate(Schema, e!.ToJsonString()));
            Assert.Empty(PlanDocument.Parse(e.ToJsonString()).Refusals);
        });
    }

    [Fact]
    public void Every_example_plan_passes() => Assert.All(PlanExamples.All, e => Assert.True(Evaluate(Schema, PlanDocument.Write(e.Plan)), e.Name));

    [Fact]
    public void The_good_document_passes() => Assert.True(Evaluate(Schema, BadDocuments.Good));

    [Theory]
    [MemberData(nameof(Expressible))]
    public void A_bad_document_is_refused_by_the_schema_too(string name) => Assert.False(Evaluate(Schema, BadDocuments.Text(name)));

    [Theory]
    [MemberData(nameof(Inexpressible))]
    public void What_the_reader_alone_refuses_is_known(string name) => Assert.True(Evaluate(Schema, BadDocuments.Text(name)));

    [Fact]
    public void Every_key_has_title_and_description()
    {
        var undocumented = new List<string>();
        Visit(JsonNode.Parse(PlanDocument.Schema)!, "", undocumented);
        Assert.Empty(undocumented);
    }

    [Fact]
    public void Limits_in_the_schema_are_those_of_the_reader()
    {
        var schema = JsonNode.Parse(PlanDocument.Schema)!["properties"]!;
        Assert.Equal(PlanLimits.MaxPoints, (int)schema["drive"]!["properties"]!["points"]!["maximum"]!);
        Assert.Equal(PlanLimits.MinPoints, (int)schema["drive"]!["properties"]!["points"]!["minimum"]!);
        Assert.Equal(PlanLimits.MaxDriveVolts, (double)schema["drive"]!["properties"]!["stopVolts"]!["maximum"]!);
        Assert.Equal(PlanLimits.MaxDwellMicroseconds, (int)schema["dwellMicroseconds"]!["maximum"]!);
        Assert.Equal(PlanLimits.MinDwellMicroseconds, (int)schema["dwellMicroseconds"]!["minimum"]!);
        Assert.Equal(PlanLimits.MaxRepeats, (int)schema["repeats"]!["maximum"]!);
        Assert.Equal(PlanLimits.MaxSteps, (int)schema["secondSource"]!["properties"]!["steps"]!["maximum"]!);
        Assert.Equal(PlanLimits.MaxNameLength, (int)schema["name"]!["maxLength"]!);
        Assert.Equal(PlanLimits.MaxOhms, (double)schema["connection"]!["properties"]!["plateResistorOhms"]!["maximum"]!);
        Assert.Equal(Domain.Tubes.ExtraLowVoltage.Limit.Value, (double)schema["connection"]!["properties"]!["plateRailVolts"]!["maximum"]!);
    }

    private static bool Evaluate(JsonSchema schema, string json)
    {
        using var document = JsonDocument.Parse(json);
        return schema.Evaluate(document.RootElement, new EvaluationOptions { OutputFormat = OutputFormat.Flag }).IsValid;
    }

    private static void Visit(JsonNode node, string path, List<string> undocumented)
    {
        if (node["properties"] is JsonObject properties)
        {
            foreach (var (key, value) in properties)
            {
                if (value!["title"] is null || value["description"] is null) undocumented.Add($"{path}/{key}");
                Visit(value, $"{path}/{key}", undocumented);
            }
        }
        if (node["oneOf"] is JsonArray choices)
            foreach (var choice in choices) Visit(choice!, path, undocumented);
    }
}
