using System.Text.Json.Nodes;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Wire.Line;

namespace SweepRig.EndToEnd.Tests.Faults;

/// <summary>Rig and service as processes, a bad cable between their pseudo-terminals.</summary>
public sealed class BadCableTests
{
    /// <summary>Some frames of a hundred are hit in each way that a line has.</summary>
    private static readonly LineRates Bad = new()
    {
        DropByte = 2e-4, DropFrame = 0.01, DuplicateByte = 2e-4, DuplicateFrame = 0.01, SwapBytes = 2e-4, SwapFrames = 0.01, FlipBit = 2e-4, Burst = 2e-4, Delay = 0.01,
        LongestDelay = TimeSpan.FromMilliseconds(30),
    };

    [Fact]
    public async Task A_sweep_over_a_bad_cable_measures_every_point_or_names_those_that_are_missing()
    {
        await using var bench = await PtyBench.StartAsync(Bad, Bad, seed: 1);
        var runId = await bench.StartRunAsync(TestPlans.Short);
        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] == "complete");

        Assert.True(bench.Cable!.Damaged > 0);
        var missing = run["gaps"]!.AsArray().Sum(g => (int)g!["points"]!);
        Assert.Equal(141, (int)run["samples"]! + missing);
        var state = await bench.BenchAsync();
        Assert.True((long)state["damagedFrames"]! + (long)state["lostFrames"]! > 0, "The service noticed nothing of it.");
        var curves = JsonNode.Parse(await bench.Http.GetStringAsync($"/api/runs/{runId}/curves", TestContext.Current.CancellationToken))!;
        var plate = curves["curves"]![0]!["plate"]!.AsArray().Where(v => v is not null).Select(v => (double)v!).ToArray();
        Assert.Equal(141 - missing, plate.Length);
        // Cut off at the rail, and falling from point to point but for the noise: no reading from elsewhere stands between them.
        Assert.InRange(plate[0], 27.5, 28.5);
        Assert.All(plate.Zip(plate.Skip(1)), p => Assert.True(p.Second <= p.First + 0.05, $"{p.First} V is followed by {p.Second} V."));
    }

    [Fact]
    public async Task A_bad_cable_pulled_and_plugged_in_again_lets_the_bench_go_on_once_acknowledged()
    {
        await using var bench = await PtyBench.StartAsync(Bad, Bad, seed: 2);
        var runId = await bench.StartRunAsync(TestPlans.Long);
        await bench.UntilRunAsync(runId, r => (int)r["samples"]! > 50);

        await bench.Cable!.UnplugAsync();

        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] == "tripped");
        Assert.InRange((int)run["samples"]!, 50, 999);
        Assert.Equal("link-lost", (string?)(await bench.UntilBenchAsync("the trip", b => b["trip"] is not null))["trip"]!["cause"]);

        await bench.Cable.PlugInAsync();
        var second = await SweptAsync(bench);
        // A cable this bad may cut the link of a busy computer once more: it is acknowledged as the first time.
        for (var more = 0; more < 2 && (string?)second["state"] == "tripped"; more++) second = await SweptAsync(bench);
        Assert.Equal("complete", (string?)second["state"]);
        Assert.Equal(141, (int)second["samples"]! + second["gaps"]!.AsArray().Sum(g => (int)g!["points"]!));
    }

    private static async Task<JsonNode> SweptAsync(PtyBench bench)
    {
        await bench.UntilBenchAsync("the rig to be back, its cause gone", b => (string?)b["link"] == "connected" && (bool?)b["trip"]?["causeGone"] == true);
        Assert.Equal(200, await bench.PostAsync("/api/bench/acknowledge"));
        var again = await bench.StartRunAsync(TestPlans.Short);
        return await bench.UntilRunAsync(again, r => (string?)r["state"] is "complete" or "tripped");
    }
}
