using SweepRig.EndToEnd.Tests.Harness;

namespace SweepRig.EndToEnd.Tests.Faults;

public sealed class CableTests
{
    [Fact]
    public async Task A_cable_pulled_mid_sweep_loses_nothing_recorded_and_leaves_the_rig_safe()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        Assert.Equal(200, await bench.GrantPermitAsync(24, 300));
        var runId = await bench.StartRunAsync(TestPlans.LongPositive);
        await bench.UntilRunAsync(runId, r => (int)r["samples"]! > 100);
        Assert.False(bench.Rig!.Rig.Journal.IsSafe);

        bench.Rig.PullCable();

        await bench.Rig.UntilSafeAsync();
        var state = await bench.UntilBenchAsync("the trip", b => b["trip"] is not null);
        Assert.Equal("link-lost", (string?)state["trip"]!["cause"]);
        Assert.Equal("lost", (string?)state["link"]);
        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] == "tripped");
        Assert.InRange((int)run["samples"]!, 100, 999);
        Assert.NotEmpty(run["trips"]!.AsArray());

        bench.Rig.PlugIn();
        await bench.UntilBenchAsync("the rig to be back, its cause gone", b => (string?)b["link"] == "connected" && (bool?)b["trip"]?["causeGone"] == true);
        Assert.Equal(409, (await bench.AskForRunAsync(TestPlans.Short)).Status);
        Assert.Equal(200, await bench.PostAsync("/api/bench/acknowledge"));
        var again = await bench.StartRunAsync(TestPlans.Short);
        await bench.UntilRunAsync(again, r => (string?)r["state"] == "complete");
    }

    [Fact]
    public async Task A_killed_service_leaves_the_rig_safe_and_a_readable_run()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        Assert.Equal(200, await bench.GrantPermitAsync(24, 300));
        var runId = await bench.StartRunAsync(TestPlans.LongPositive);
        var before = (int)(await bench.UntilRunAsync(runId, r => (int)r["samples"]! > 100))["samples"]!;

        bench.Service.Kill();

        await bench.Rig!.UntilSafeAsync();
        await bench.Service.DisposeAsync();
        var (exit, shown, _) = await SweepRigProcess.RunAsync(TimeSpan.FromSeconds(30), "runs", "show", runId, "--data", bench.DataDirectory, "--json");
        Assert.Equal(0, exit);
        Assert.Contains(runId, shown, StringComparison.Ordinal);

        await bench.StartServiceAsync();
        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] == "incomplete", seconds: 10);
        Assert.True((int)run["samples"]! >= before);
        Assert.Null((await bench.BenchAsync())["permit"]);
    }

    [Fact]
    public async Task Make_safe_ends_a_sweep_and_needs_an_acknowledgement()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        Assert.Equal(200, await bench.GrantPermitAsync(24, 300));
        var runId = await bench.StartRunAsync(TestPlans.LongPositive);
        await bench.UntilRunAsync(runId, r => (int)r["samples"]! > 100);

        Assert.Equal(200, await bench.PostAsync("/api/bench/safe"));

        await bench.Rig!.UntilSafeAsync(1);
        await bench.UntilRunAsync(runId, r => (string?)r["state"] is "tripped" or "stopped");
        Assert.Equal(409, (await bench.AskForRunAsync(TestPlans.Short)).Status);
    }
}
