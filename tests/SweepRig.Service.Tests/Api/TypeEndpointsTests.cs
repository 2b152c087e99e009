using System.Net;
using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Support;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Api;

public sealed class TypeEndpointsTests
{
    [Fact]
    public async Task Types_are_listed_and_shown_by_any_of_their_names()
    {
        await using var bench = await TestBench.StartAsync();
        Assert.Equal(TypeCatalogue.BuiltIn.All.Count, (await bench.GetAsync("/api/types"))["types"]!.AsArray().Count);
        var type = await bench.GetAsync("/api/types/ecc83");
        Assert.Equal("12AX7", (string?)type["summary"]!["name"]);
        Assert.Equal(0.8, (double)type["limits"]![0]!["watts"]!, 12);
        Assert.StartsWith("80 % of 1 W", (string?)type["limits"]![0]!["because"], StringComparison.Ordinal);
        Assert.Equal(["p 1", "g1 2", "k 3"], type["sections"]![1]!["pins"]!.AsArray().Select(p => (string?)p));
        Assert.True(JsonNode.DeepEquals(JsonNode.Parse(TypeDocument.Schema), await bench.GetAsync("/api/types/schema")));
        using var none = await bench.SendAsync("GET", "/api/types/6AU7A-X", null);
        await TestBench.ProblemAsync(none, HttpStatusCode.NotFound);
    }
}
