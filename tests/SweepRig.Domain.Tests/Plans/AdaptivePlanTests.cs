using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;

namespace SweepRig.Domain.Tests.Plans;

public sealed class AdaptivePlanTests
{
    private static readonly SweepPlan Good = PlanExamples.GentlePentode.Plan with { Points = 120, Direction = SweepDirection.Up, Adaptive = new(new(1e-3), 24, 4) };

    [Fact]
    public void It_is_written_and_read_again()
    {
        var read = PlanDocument.Parse(PlanDocument.Write(Good));
        Assert.Empty(read.Refusals);
        Assert.Equal(Good, read.Value);
    }

    [Fact]
    public void First_and_further_points_may_be_left_out()
    {
        var document = JsonNode.Parse(PlanDocument.Write(Good))!;
        document["adaptive"] = new JsonObject { ["switchingUncertaintyVolts"] = 0.002 };
        var read = PlanDocument.Parse(document.ToJsonString());
        Assert.Empty(read.Refusals);
        Assert.Equal(new AdaptiveRule(new(0.002), AdaptiveRule.DefaultFirst, AdaptiveRule.DefaultBatch), read.Value!.Adaptive);
    }

    [Theory]
    [InlineData("adaptive/switchingUncertaintyVolts", "0", "out-of-range", "/adaptive/switchingUncertaintyVolts")]
    [InlineData("adaptive/firstPoints", "11", "out-of-range", "/adaptive/firstPoints")]
    [InlineData("adaptive/batchPoints", "65", "out-of-range", "/adaptive/batchPoints")]
    [InlineData("adaptive/batchPoints", "0", "out-of-range", "/adaptive/batchPoints")]
    [InlineData("adaptive/wanted", "3", "unknown-key", "/adaptive/wanted")]
    [InlineData("drive/points", "24", "adaptive-points", "/adaptive")]
    [InlineData("drive/points", "1001", "adaptive-points", "/adaptive")]
    [InlineData("drive/direction", "\"upAndDown\"", "adaptive-not-alone", "/adaptive")]
    [InlineData("repeats", "2", "adaptive-not-alone", "/adaptive")]
    [InlineData("secondSource", """{"source":"plateRail","fromVolts":20,"toVolts":28,"steps":3}""", "adaptive-not-alone", "/adaptive")]
    public void A_fault_is_named_with_its_place(string place, string value, string code, string path)
    {
        var document = JsonNode.Parse(PlanDocument.Write(Good))!;
        var keys = place.Split('/');
        (keys.Length == 1 ? document : document[keys[0]]!)[keys[^1]] = JsonNode.Parse(value);
        var refusal = Assert.Single(PlanDocument.Parse(document.ToJsonString()).Refusals);
        Assert.Equal((code, path), (refusal.Code, refusal.Path));
    }

    [Fact]
    public void The_last_pass_takes_what_is_left()
    {
        Assert.Equal([24, 4, 4, 3], Good.Adaptive!.Passes(35));
        Assert.Equal([24, 1], Good.Adaptive.Passes(25));
    }

    [Fact]
    public void Limits_in_the_schema_are_those_of_the_reader()
    {
        var adaptive = JsonNode.Parse(PlanDocument.Schema)!["properties"]!["adaptive"]!["properties"]!;
        Assert.Equal(AdaptiveRule.LeastVolts, (double)adaptive["switchingUncertaintyVolts"]!["minimum"]!);
        Assert.Equal(AdaptiveRule.MostVolts, (double)adaptive["switchingUncertaintyVolts"]!["maximum"]!);
        Assert.Equal((AdaptiveRule.LeastFirst, AdaptiveRule.MostPoints, AdaptiveRule.DefaultFirst), Bounds("firstPoints"));
        Assert.Equal((1, AdaptiveRule.MostBatch, AdaptiveRule.DefaultBatch), Bounds("batchPoints"));

        (int, int, int) Bounds(string key) => ((int)adaptive[key]!["minimum"]!, (int)adaptive[key]!["maximum"]!, (int)adaptive[key]!["default"]!);
    }
}
