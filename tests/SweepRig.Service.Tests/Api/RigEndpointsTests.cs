using System.Net;
using SweepRig.Domain.Interlocks;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Api;

/// <summary>Routes that concern a rig, of a service that drives several.</summary>
public sealed class RigEndpointsTests
{
    [Theory]
    [InlineData("", 0)]
    [InlineData("?rig=left", 0)]
    [InlineData("?rig=right", 1)]
    public async Task An_act_reaches_the_rig_that_is_named_and_no_other(string query, int reached)
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        foreach (var (method, path, body, asked) in new[]
        {
            ("POST", "/api/bench/acknowledge", (string?)null, "acknowledge"),
            ("POST", "/api/bench/stop", null, "stop"),
            ("POST", "/api/bench/heater", """{ "on": true }""", "heater True 6.3"),
            ("POST", "/api/bench/permit", """{ "ceilingVolts": 12, "durationSeconds": 60, "reason": "fold-back" }""", "permit 12 60 fold-back"),
            ("DELETE", "/api/bench/permit", null, "end permit"),
        })
        {
            using var answer = await bench.SendAsync(method, path + query, body);
            Assert.True(answer.IsSuccessStatusCode, path);
            Assert.Equal(asked, bench.Runners[reached].Asked[^1]);
            Assert.Empty(bench.Runners[1 - reached].Asked);
        }
    }

    [Theory]
    [InlineData("GET", "/api/bench")]
    [InlineData("POST", "/api/bench/safe")]
    [InlineData("GET", "/api/round")]
    [InlineData("GET", "/api/calibration")]
    public async Task A_rig_that_is_not_there_is_refused_with_the_names_that_are(string method, string path)
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        using var answer = await bench.SendAsync(method, path + "?rig=middle", null);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.Equal("rig-unknown", (string?)problem["refusals"]![0]!["code"]);
        Assert.Contains("left, right", (string?)problem["detail"], StringComparison.Ordinal);
        Assert.All(bench.Runners, r => Assert.Empty(r.Asked));
    }

    [Fact]
    public async Task Safe_without_a_name_is_for_all_rigs_and_with_one_for_it_alone()
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        using var one = await bench.SendAsync("POST", "/api/bench/safe?rig=right", """{ "reason": "smoke" }""");
        Assert.True(one.IsSuccessStatusCode);
        Assert.Empty(bench.Runners[0].Asked);
        using var all = await bench.SendAsync("POST", "/api/bench/safe", """{ "reason": "fire" }""");
        Assert.True(all.IsSuccessStatusCode);
        Assert.Equal(["safe: fire"], bench.Runners[0].Asked);
        Assert.Equal(["safe: smoke", "safe: fire"], bench.Runners[1].Asked);
    }

    [Fact]
    public async Task A_rig_that_does_not_confirm_is_named_and_keeps_the_order_from_no_other()
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        foreach (var runner in bench.Runners) runner.State = runner.State with { Link = RigLinkState.Connected };
        bench.Runners[0].NeverAnswers = true;
        using var answer = await bench.SendAsync("POST", "/api/bench/safe", null);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.Conflict);
        Assert.Equal("safe-not-confirmed", (string?)Assert.Single(problem["refusals"]!.AsArray())!["code"]);
        Assert.Contains("rig left", (string?)problem["detail"], StringComparison.Ordinal);
        Assert.All(bench.Runners, r => Assert.Equal("safe: asked for by the operator", Assert.Single(r.Asked)));
    }

    [Fact]
    public async Task A_rig_that_was_never_reached_does_not_speak_against_the_others()
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        bench.Runners[0].NeverAnswers = true;
        bench.Runners[1].State = bench.Runners[1].State with { Link = RigLinkState.Connected };
        using var answer = await bench.SendAsync("POST", "/api/bench/safe", null);
        Assert.True(answer.IsSuccessStatusCode);
        Assert.All(bench.Runners, r => Assert.Single(r.Asked));
    }

    [Fact]
    public async Task The_list_tells_of_each_what_matters_most()
    {
        await using var bench = await TestBench.StartAsync(["a", "b", "c", "d", "e"]);
        var (state, run) = (bench.Runner.State with { Link = RigLinkState.Connected, Identity = Examples.Rig }, new RunProgress("7", RunPhase.Sweeping, 0, 1, 3, 100, TimeSpan.FromSeconds(2)));
        bench.Runners[1].State = state with { Link = RigLinkState.Lost, LinkFault = "the cable is out" };
        bench.Runners[2].State = state;
        bench.Runners[3].State = state with { Run = run };
        bench.Runners[4].State = state with { Run = run, Trip = new Trip(TripCause.GridCurrent, true, "31 mA", "30 mA", DateTimeOffset.UnixEpoch, null) };
        var rigs = (await bench.GetAsync("/api/rigs"))["rigs"]!.AsArray();
        Assert.Equal(["a", "b", "c", "d", "e"], rigs.Select(r => (string?)r!["name"]));
        Assert.Equal(["connecting", "lost", "connected", "sweeping", "tripped"], rigs.Select(r => (string?)r!["state"]));
        Assert.Equal("the cable is out", (string?)rigs[1]!["linkFault"]);
        Assert.Equal(Examples.Rig.SerialNumber, (string?)rigs[2]!["serialNumber"]);
        Assert.Equal("grid-current", (string?)rigs[4]!["trip"]!["cause"]);
    }

    [Fact]
    public async Task Every_route_that_takes_a_rig_says_so_in_the_document()
    {
        await using var bench = await TestBench.StartAsync();
        var paths = (await bench.GetAsync("/api/openapi.json"))["paths"]!.AsObject();
        foreach (var path in new[] { "/api/bench", "/api/bench/safe", "/api/bench/acknowledge", "/api/bench/heater", "/api/bench/permit", "/api/bench/stop", "/api/calibration", "/api/calibration/hold", "/api/round", "/api/round/entry" })
            foreach (var (_, operation) in paths[path]!.AsObject())
                Assert.Contains(operation!["parameters"]!.AsArray(), p => (string?)p!["name"] == "rig" && (string?)p["in"] == "query");
        Assert.Contains(paths["/api/runs"]!["post"]!["parameters"]!.AsArray(), p => (string?)p!["name"] == "rig");
        Assert.DoesNotContain(paths["/api/runs"]!["get"]!["parameters"]!.AsArray(), p => (string?)p!["name"] == "rig");
    }
}
