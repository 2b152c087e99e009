using System.Text.Json.Nodes;
using SweepRig.Service.Contract;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

/// <summary>The document that the dashboard's types are made from is the one that the service serves.</summary>
public sealed class ApiDocumentTests
{
    private const string RewriteSwitch = "SWEEPRIG_WRITE_OPENAPI";

    private static readonly string Committed = Repository.At("src", "dashboard", "openapi.json");

    [Fact]
    public async Task The_committed_document_is_the_one_served()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var bench = await TestBench.StartAsync();
        var served = (await bench.Http.GetStringAsync("/api/openapi.json", cancellation)).ReplaceLineEndings("\n") + "\n";
        if (Environment.GetEnvironmentVariable(RewriteSwitch) == "1") await File.WriteAllTextAsync(Committed, served, cancellation);
        Assert.True(File.Exists(Committed) && await File.ReadAllTextAsync(Committed, cancellation) == served,
            $"src/dashboard/openapi.json is not what the service serves. Write it anew with: {RewriteSwitch}=1 dotnet test tests/SweepRig.Service.Tests --filter ApiDocumentTests");
    }

    [Theory]
    [InlineData(nameof(BenchView))]
    [InlineData(nameof(RunStartedView))]
    [InlineData(nameof(LiveBlockView))]
    [InlineData(nameof(PassEndedView))]
    [InlineData(nameof(RunEndedView))]
    public async Task The_document_holds_the_messages_of_the_hub(string message)
    {
        await using var bench = await TestBench.StartAsync();
        var document = JsonNode.Parse(await bench.Http.GetStringAsync("/api/openapi.json", TestContext.Current.CancellationToken))!;
        Assert.NotEmpty(document["components"]!["schemas"]![message]!["properties"]!.AsObject());
    }

    [Fact]
    public async Task Every_reference_in_the_document_leads_to_a_schema()
    {
        await using var bench = await TestBench.StartAsync();
        var document = JsonNode.Parse(await bench.Http.GetStringAsync("/api/openapi.json", TestContext.Current.CancellationToken))!;
        var schemas = document["components"]!["schemas"]!.AsObject();
        var references = References(document).ToList();
        Assert.NotEmpty(references);
        Assert.All(references, r => Assert.True(schemas.ContainsKey(r.Replace("#/components/schemas/", "", StringComparison.Ordinal)), r));
    }

    private static IEnumerable<string> References(JsonNode? node) => node switch
    {
        JsonObject o => o.SelectMany(p => p.Key == "$ref" ? [(string)p.Value!] : References(p.Value)),
        JsonArray a => a.SelectMany(References),
        _ => [],
    };
}
