using System.Net;
using SweepRig.Domain.Interlocks;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Api;

public sealed class BenchEndpointsTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task The_bench_is_shown_with_all_that_is_known_of_it()
    {
        await using var bench = await TestBench.StartAsync();
        bench.Runner.State = new(
            RigLinkState.Connected, "simulated rig", Examples.Rig, null, new(100, 3, 1, 2, 0), new(true, TimeSpan.FromSeconds(5), TimeSpan.FromSeconds(4)),
            true, 27.98, -14, 1, new Trip(TripCause.LinkLost, false, "", "", Examples.Started, null), true, null,
            new("run1", RunPhase.Sweeping, 0, 2, 40, 382, TimeSpan.FromSeconds(2.5)));
        var view = await bench.GetAsync("/api/bench");
        Assert.Equal("connected", (string?)view["link"]);
        Assert.Equal(26, (double)view["rig"]!["driveCeiling"]!);
        Assert.Equal(27.98, (double)view["supplyVolts"]!);
        Assert.True((bool)view["heater"]!["warm"]!);
        Assert.Equal("link-lost", (string?)view["trip"]!["cause"]);
        Assert.NotEqual("", (string?)view["trip"]!["remedy"]);
        Assert.True((bool)view["trip"]!["causeGone"]!);
        Assert.Equal("sweeping", (string?)view["run"]!["phase"]);
        Assert.Equal(2.5, (double)view["run"]!["secondsLeft"]!);
    }

    [Fact]
    public async Task What_was_never_read_is_null()
    {
        await using var bench = await TestBench.StartAsync();
        var view = await bench.GetAsync("/api/bench");
        Assert.Null(view["supplyVolts"]);
        Assert.Null(view["driveVolts"]);
        Assert.Null(view["rig"]);
        Assert.True(view.AsObject().ContainsKey("supplyVolts"));
    }

    [Theory]
    [InlineData("POST", "/api/bench/safe", "{\"reason\":\"smell of dust\"}", "safe: smell of dust")]
    [InlineData("POST", "/api/bench/safe", "{}", "safe: asked for by the operator")]
    [InlineData("POST", "/api/bench/safe", null, "safe: asked for by the operator")]
    [InlineData("POST", "/api/bench/acknowledge", null, "acknowledge")]
    [InlineData("POST", "/api/bench/stop", null, "stop")]
    [InlineData("POST", "/api/bench/heater", "{\"on\":true}", "heater True 6.3")]
    [InlineData("POST", "/api/bench/heater", "{\"on\":true,\"volts\":12.6}", "heater True 12.6")]
    [InlineData("POST", "/api/bench/heater", "{\"on\":false}", "heater False 6.3")]
    [InlineData("POST", "/api/bench/permit", "{\"ceilingVolts\":24,\"durationSeconds\":60,\"reason\":\"fold-back\"}", "permit 24 60 fold-back")]
    [InlineData("DELETE", "/api/bench/permit", null, "end permit")]
    public async Task Each_act_goes_through_the_one_door(string method, string path, string? body, string asked)
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.SendAsync(method, path, body);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal([asked], bench.Runner.Asked);
    }

    [Theory]
    [InlineData("/api/bench/permit", "{\"ceilingVolts\":0,\"durationSeconds\":-1,\"reason\":\" \"}", "ceiling-out-of-range duration-out-of-range reason-missing")]
    [InlineData("/api/bench/permit", "{\"ceilingVolts\":61,\"durationSeconds\":28801,\"reason\":\"x\"}", "ceiling-out-of-range duration-out-of-range")]
    [InlineData("/api/bench/permit", "{\"ceilingVolts\":24,\"durationSeconds\":60}", "key-missing")]
    [InlineData("/api/bench/permit", "{\"ceilingVolts\":\"24\",\"durationSeconds\":60,\"reason\":\"x\"}", "wrong-kind")]
    [InlineData("/api/bench/permit", "{\"ceilingVolts\":24,\"durationSeconds\":60,\"reason\":null}", "wrong-kind")]
    [InlineData("/api/bench/permit", "{\"ceilingVolts\":NaN,\"durationSeconds\":60,\"reason\":\"x\"}", "malformed-json")]
    [InlineData("/api/bench/permit", "{\"ceilingVolts\":1e999,\"durationSeconds\":60,\"reason\":\"x\"}", "ceiling-out-of-range")]
    [InlineData("/api/bench/permit", "{\"ceilingVolts\":24,\"ceilingVolts\":25,\"durationSeconds\":60,\"reason\":\"x\"}", "duplicate-key")]
    [InlineData("/api/bench/permit", "{\"ceilingVolt\":24,\"ceilingVolts\":24,\"durationSeconds\":60,\"reason\":\"x\"}", "unknown-key")]
    [InlineData("/api/bench/heater", "{\"on\":true,\"volts\":61}", "heater-out-of-range")]
    [InlineData("/api/bench/heater", "{\"on\":true,\"volts\":0}", "heater-out-of-range")]
    [InlineData("/api/bench/heater", "{\"on\":", "malformed-json")]
    [InlineData("/api/bench/heater", "[]", "wrong-kind")]
    public async Task Bad_input_is_refused_with_every_reason_and_reaches_no_rig(string path, string body, string codes)
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.SendAsync("POST", path, body);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        var found = problem["refusals"]!.AsArray().Select(r => (string)r!["code"]!).ToArray();
        Assert.NotEmpty(found);
        Assert.Equal(codes.Split(' '), found);
        Assert.All(problem["refusals"]!.AsArray(), r => Assert.All(new[] { "asked", "allowed", "remedy" }, k => Assert.NotEqual("", (string?)r![k])));
        Assert.DoesNotContain("SweepRig.Service", problem.ToJsonString(), StringComparison.Ordinal);
        Assert.Empty(bench.Runner.Asked);
    }

    [Fact]
    public async Task All_faults_of_a_permit_come_at_once_with_their_paths()
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.SendAsync("POST", "/api/bench/permit", "{\"ceilingVolts\":0,\"durationSeconds\":-1,\"reason\":\"\"}");
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.Equal(["/ceilingVolts", "/durationSeconds", "/reason"], problem["refusals"]!.AsArray().Select(r => (string)r!["path"]!));
    }

    [Fact]
    public async Task A_missing_body_is_named()
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.SendAsync("POST", "/api/bench/heater", null);
        await TestBench.ProblemAsync(answer, HttpStatusCode.BadRequest);
        Assert.Empty(bench.Runner.Asked);
    }

    [Fact]
    public async Task A_refusal_by_the_state_of_the_bench_is_a_conflict()
    {
        await using var bench = await TestBench.StartAsync();
        bench.Runner.Refusal = new("tripped", "", "Tripped 12:03:11: plate current 31 mA", "at most 25 mA", "Find the cause, then acknowledge.");
        using var answer = await bench.SendAsync("POST", "/api/bench/stop", null);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.Conflict);
        Assert.Equal("/problems/not-now", (string?)problem["type"]);
        Assert.Equal("tripped", (string?)problem["refusals"]![0]!["code"]);
        Assert.Contains("31 mA", (string?)problem["detail"], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("GET", "/api/nothing", HttpStatusCode.NotFound)]
    [InlineData("GET", "/api/bench/nothing", HttpStatusCode.NotFound)]
    [InlineData("PUT", "/api/bench/safe", HttpStatusCode.MethodNotAllowed)]
    [InlineData("GET", "/api/bench/safe", HttpStatusCode.MethodNotAllowed)]
    public async Task What_there_is_not_is_a_problem_document_too(string method, string path, HttpStatusCode status)
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.SendAsync(method, path, null);
        await TestBench.ProblemAsync(answer, status);
    }
}
