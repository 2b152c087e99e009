using System.Net;
using System.Net.Http.Json;
using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;

namespace SweepRig.Service.Tests.Support;

public static class BenchSweeps
{
    /// <summary>Sweeps SKUA-014 on the simulated rig, whole.</summary>
    /// <returns>Id of the run.</returns>
    public static async Task<string> SweepAsync(this TestBench bench, SweepPlan plan)
    {
        await Eventually.HoldsAsync("the rig to be connected", async () => (string?)(await bench.GetAsync("/api/bench"))["link"] == "connected");
        using var answer = await bench.Http.PostAsJsonAsync(
            "/api/runs", new { plan = JsonNode.Parse(PlanDocument.Write(plan)), tube = new { label = "SKUA-014", type = "6AU6", lot = "Skua" }, socket = 0 }, TestContext.Current.CancellationToken);
        var text = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(answer.StatusCode == HttpStatusCode.Accepted, text);
        var id = (string)JsonNode.Parse(text)!["id"]!;
        await Eventually.HoldsAsync("the run to end", async () => (string?)(await bench.GetAsync($"/api/runs/{id}"))["state"] == "complete");
        return id;
    }
}
