using SweepRig.Domain.Plans;
using SweepRig.Domain.Rigs;
using SweepRig.EndToEnd.Tests.Emulated.Probe;
using SweepRig.EndToEnd.Tests.Emulated.Rigs;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Rigs;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Emulated.Cases;

/// <summary>What a user of the service sees of a rig that trips, restarts or loses its host, the drive being positive; the same on all three rigs.</summary>
public sealed class ServiceCases
{
    public static TheoryData<RigKind> Rigs => ThreeRigs.All;

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_service_that_is_killed_in_a_pass_leaves_the_rig_safe_and_comes_back(RigKind kind)
    {
        var (bench, rig, _) = await SweepingAsync(kind);
        await using var owned = bench;

        bench.Service.Kill();

        await rig.UntilSafeAsync(2);
        await bench.Service.DisposeAsync();
        await bench.StartServiceAsync();
        Assert.Null((await bench.BenchAsync())["permit"]);
        await AcknowledgeAsync(bench);
        await SweepAgainAsync(bench);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task The_emergency_stop_ends_a_run_and_cannot_be_acknowledged_while_pressed(RigKind kind)
    {
        var (bench, rig, _) = await SweepingAsync(kind);
        await using var owned = bench;

        rig.Inject(new SimulatedFault.EmergencyStop());

        await rig.UntilSafeAsync(1);
        var state = await bench.UntilBenchAsync("the trip", b => b["trip"] is not null);
        Assert.Equal("emergency-stop", (string?)state["trip"]!["cause"]);
        Assert.Equal(409, await bench.PostAsync("/api/bench/acknowledge"));
        rig.Inject();
        await AcknowledgeAsync(bench);
    }

    [Theory]
    [MemberData(nameof(Rigs))]
    public async Task A_rig_that_browns_out_in_a_pass_is_told_as_a_restart_and_reconnects(RigKind kind)
    {
        var (bench, rig, runId) = await SweepingAsync(kind);
        await using var owned = bench;

        rig.Restart(ResetReason.BrownOut);

        await rig.UntilSafeAsync(2);
        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] == "tripped", seconds: 10);
        Assert.NotEmpty(run["trips"]!.AsArray());
        Assert.True((int)run["samples"]! < 1_000);
        await AcknowledgeAsync(bench);
        await SweepAgainAsync(bench);
    }

    /// <summary>A sweep under way at a positive drive.</summary>
    private static async Task<(PtyBench Bench, RigOnBench Rig, string RunId)> SweepingAsync(RigKind kind)
    {
        RigOnBench? rig = null;
        var bench = await PtyBench.StartWithAsync(path => rig = RigOnBench.Start(kind, path));
        try
        {
            await rig!.WireAsync(RigWiring.Of(PlanExamples.FarPositivePentode.Plan.Connection), 28);
            Assert.Equal(200, await bench.GrantPermitAsync(24, 300));
            var runId = await bench.StartRunAsync(TestPlans.LongPositive);
            var run = await bench.UntilRunAsync(runId, r => (int)r["samples"]! > 30 || (string?)r["state"] != "running", seconds: 30);
            Assert.False(rig.Journal.IsSafe);
            Assert.True((string?)run["state"] == "running", $"{run}");
            return (bench, rig, runId);
        }
        catch
        {
            await bench.DisposeAsync();
            throw;
        }
    }

    private static async Task SweepAgainAsync(PtyBench bench)
    {
        var runId = await bench.StartRunAsync(TestPlans.Short);
        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] != "running", seconds: 20);
        Assert.True((string?)run["state"] == "complete", $"{run}\n{await bench.BenchAsync()}");
    }

    private static async Task AcknowledgeAsync(PtyBench bench)
    {
        await bench.UntilBenchAsync("a trip whose cause is gone", b => (string?)b["link"] == "connected" && (bool?)b["trip"]?["causeGone"] == true);
        Assert.Equal(200, await bench.PostAsync("/api/bench/acknowledge"));
    }
}
