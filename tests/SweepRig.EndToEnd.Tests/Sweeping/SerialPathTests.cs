using System.Text.Json.Nodes;
using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Sweeping;

/// <summary>A sweep through System.IO.Ports and a pseudo-terminal, rig and service being processes of their own.</summary>
public sealed class SerialPathTests
{
    [Fact]
    public async Task A_sweep_over_a_real_port_is_recorded_whole()
    {
        await using var bench = await PtyBench.StartAsync();

        var runId = await bench.StartRunAsync(TestPlans.Short);
        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] == "complete");

        Assert.Equal(141, (int)run["samples"]!);
        Assert.Empty(run["gaps"]!.AsArray());
        var curves = JsonNode.Parse(await bench.Http.GetStringAsync($"/api/runs/{runId}/curves", TestContext.Current.CancellationToken))!;
        var plate = curves["curves"]![0]!["plate"]!.AsArray().Select(v => (double)v!).ToArray();
        Assert.Equal(141, plate.Length);
        Assert.InRange(plate[0], 27.5, 28.5);
        Assert.True(plate[^1] < plate[0] - 5, $"The output should have fallen at 0 V drive; it is {plate[^1]} V.");
    }

    [Fact]
    public async Task Without_a_permit_positive_drive_is_refused_and_with_one_it_runs()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        var plan = TestPlans.Document(Domain.Plans.PlanExamples.FarPositivePentode.Plan);

        var (status, refused) = await bench.AskForRunAsync(plan);
        Assert.Equal(422, status);
        Assert.Contains("permit", refused.ToString(), StringComparison.OrdinalIgnoreCase);
        Assert.True(bench.Rig!.HighestDrive() <= 0, "Drive above 0 V was sent without a permit.");

        Assert.Equal(200, await bench.GrantPermitAsync(24, 300));
        var runId = await bench.StartRunAsync(plan);
        await bench.UntilRunAsync(runId, r => (string?)r["state"] == "complete");
        Assert.InRange(bench.Rig.HighestDrive(), 23.5, 24);
        await bench.Rig.UntilSafeAsync();
    }

    [Fact]
    public async Task A_ceiling_above_the_rigs_own_is_refused_with_both_values()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();

        using var answer = await bench.Http.PostAsync(
            "/api/bench/permit",
            new StringContent("""{"ceilingVolts":40,"durationSeconds":60,"reason":"too far"}""", System.Text.Encoding.UTF8, "application/json"),
            TestContext.Current.CancellationToken);

        var text = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.False(answer.IsSuccessStatusCode);
        Assert.Contains("40 V", text, StringComparison.Ordinal);
        Assert.Contains("26 V", text, StringComparison.Ordinal);
    }
}
