using System.Text.Json.Nodes;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;
using SweepRig.Tubes.Catalogue;

namespace SweepRig.Service.Tests.Api;

/// <summary>Empty places of a gate, filled from a stock in which one tube was swept and gives no model, one was never swept, and one is in use.</summary>
public sealed class FillEndpointsTests : IAsyncLifetime
{
    private TestBench _bench = null!;

    public async ValueTask InitializeAsync()
    {
        _bench = await TestBench.StartAsync();
        await _bench.SendAsync("POST", "/api/lots", """{"name": "Skua", "count": 6, "type": "6AU6"}""");
        foreach (var number in (int[])[1, 2, 3, 5, 6])
        {
            // Without emission nothing moves: the sweep is whole, and tells no constants.
            await new ModelledRun(PlanExamples.GentlePentode)
            {
                Label = new($"SKUA-00{number}", "6AU6"), Tube = ExampleTubes.Sound6AU6 with { Emission = number == 2 ? 1e-9 : 0.12 }, Seed = number, StartedUtc = Examples.Started.AddDays(number),
            }.StoreAsync(_bench.Services.GetRequiredService<RunStore>());
        }
        Assert.True((await _bench.SendAsync("POST", "/api/tubes/SKUA-006/changes", """{"change": "use", "text": "tide clock, bit 2"}""")).IsSuccessStatusCode);
    }

    public async ValueTask DisposeAsync() => await _bench.DisposeAsync();

    [Fact]
    public async Task A_tube_without_constants_goes_nowhere_and_is_told_with_its_sweep()
    {
        var filled = await FillAsync("""{"gate": "nor", "first": ["skua-002", "SKUA-003"]}""");
        Assert.Equal(["SKUA-003", "SKUA-001"], Tubes(filled));
        Assert.Equal("SKUA-002", (string?)Assert.Single(filled["leftOut"]!.AsArray())!["number"]);
        var said = string.Join('\n', filled["remarks"]!.AsArray().Select(r => (string?)r));
        Assert.Contains("1 free tube was left out, as no sweep tells its constants", said, StringComparison.Ordinal);
        Assert.Contains("sweeprig sweep gentle-pentode --tube SKUA-002", said, StringComparison.Ordinal);
        // What was filled in can be reckoned with.
        var check = await _bench.SendAsync("POST", "/api/logic/check", """{"gate": "nor", "tubes": ["SKUA-003", "SKUA-001"]}""");
        Assert.True(check.IsSuccessStatusCode);
    }

    [Fact]
    public async Task Places_that_are_taken_stay_and_those_without_a_tube_are_told()
    {
        var filled = await FillAsync("""{"gate": "latch", "tubes": [null, "SKUA-005"]}""");
        Assert.Equal(["SKUA-001", "SKUA-005", "SKUA-003", null], Tubes(filled));
        Assert.Equal(["SKUA-002", "SKUA-004"], filled["leftOut"]!.AsArray().Select(l => (string?)l!["number"]));
        var said = string.Join('\n', filled["remarks"]!.AsArray().Select(r => (string?)r));
        Assert.Contains("never swept: SKUA-004", said, StringComparison.Ordinal);
        Assert.Contains("1 place stays with an example tube", said, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_full_gate_asks_for_no_tube()
    {
        var filled = await FillAsync("""{"gate": "inverter", "tubes": ["SKUA-001"]}""");
        Assert.Equal(["SKUA-001"], Tubes(filled));
        Assert.Empty(filled["leftOut"]!.AsArray());
        Assert.Empty(filled["remarks"]!.AsArray());
    }

    private async Task<JsonNode> FillAsync(string body)
    {
        var answer = await _bench.SendAsync("POST", "/api/logic/fill", body);
        var text = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(answer.IsSuccessStatusCode, text);
        return JsonNode.Parse(text)!;
    }

    private static IEnumerable<string?> Tubes(JsonNode filled) => filled["tubes"]!.AsArray().Select(t => (string?)t);
}
