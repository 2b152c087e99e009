using System.Net;
using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

public sealed class PlanEndpointsTests
{
    [Fact]
    public async Task The_schema_is_the_one_that_plans_are_read_with()
    {
        await using var bench = await TestBench.StartAsync();
        var served = await bench.GetAsync("/api/plans/schema");
        Assert.True(JsonNode.DeepEquals(JsonNode.Parse(PlanDocument.Schema), served));
    }

    [Fact]
    public async Task Every_example_is_a_plan()
    {
        await using var bench = await TestBench.StartAsync();
        var examples = (await bench.GetAsync("/api/plans/examples")).AsArray();
        Assert.Equal(PlanExamples.All.Count, examples.Count);
        Assert.All(examples, e => Assert.True(PlanDocument.Parse(e!["plan"]!.ToJsonString()).IsAccepted));
    }

    [Fact]
    public async Task A_check_tells_what_a_run_would_be()
    {
        await using var bench = await TestBench.StartAsync();
        bench.Runner.Planned = new([new PassHeader(0, PassDirection.Up, 141, 0, null)], new(0), false, TimeSpan.FromSeconds(0.3)) { Limits = [new("plate-dissipation", new(2.4), "80 % of 3 W, which is from memory")] };
        using var answer = await bench.SendAsync("POST", "/api/plans/check", $"{{\"plan\":{PlanDocument.Write(PlanExamples.GentlePentode.Plan)}}}");
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        var planned = JsonNode.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!;
        Assert.Equal(0.3, (double)planned["floorSeconds"]!);
        Assert.False((bool)planned["needsPermit"]!);
        Assert.Equal(141, (int)planned["passes"]![0]!["points"]!);
        Assert.Equal((2.4, "80 % of 3 W, which is from memory"), ((double)planned["limits"]![0]!["watts"]!, (string?)planned["limits"]![0]!["because"]));
    }
}
