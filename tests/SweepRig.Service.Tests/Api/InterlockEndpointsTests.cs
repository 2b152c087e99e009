using System.Net;
using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Service.Tests.Api;

public sealed class InterlockEndpointsTests
{
    [Fact]
    public async Task Rules_are_listed_with_their_limits_and_shown_one_by_one()
    {
        await using var bench = await TestBench.StartAsync();
        var rules = (await bench.GetAsync("/api/interlocks"))["rules"]!.AsArray();
        Assert.Equal(InterlockRules.All.Select(r => r.Id), rules.Select(r => (string?)r!["id"]));
        var grid = await bench.GetAsync("/api/interlocks/grid-current");
        Assert.Equal((8.0, 6.0, "mA", false), ((double)grid["limit"]!["attended"]!, (double)grid["limit"]!["unattended"]!, (string?)grid["limit"]!["unit"], (bool)grid["limit"]!["isSet"]!));
        Assert.Equal("host-grid-current", (string?)grid["causes"]![0]);
        Assert.True(JsonNode.DeepEquals(JsonNode.Parse(RuleDocument.Schema), await bench.GetAsync("/api/interlocks/schema")));
        using var none = await bench.SendAsync("GET", "/api/interlocks/plate-colour", null);
        await TestBench.ProblemAsync(none, HttpStatusCode.NotFound);
    }
}
