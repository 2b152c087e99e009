using System.Net;
using Microsoft.Extensions.DependencyInjection;
using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Contract;
using SweepRig.Service.Stations;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Rounds;

/// <summary>A round through REST, on the simulated rig whose sockets get the tubes that are said to be there.</summary>
[Collection(RealTime.Name)]
public sealed class RoundEndpointsTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Twelve_tubes_go_over_four_sockets_and_each_is_screened_in_the_stock()
    {
        await using var bench = await TestBench.StartWholeAsync();
        await using var viewer = await Viewer.ConnectAsync(bench);
        var round = new ServedRound(bench);
        await round.BookAsync("Skua", 12);
        Assert.Null((await bench.GetAsync("/api/round"))["round"]);
        var begun = await round.BegunAsync("Skua");
        Assert.Equal("place", (string?)begun["asks"]![0]!["kind"]);
        Assert.Equal("SKUA-001 into socket 0.", (string?)begun["asks"]![0]!["text"]);

        var over = await round.ThroughAsync();

        Assert.True((bool)over["isFinished"]!);
        Assert.Equal("over", (string?)over["asks"]![0]!["kind"]);
        var results = over["results"]!.AsArray();
        Assert.Equal(Enumerable.Range(1, 12).Select(n => $"SKUA-{n:000}"), results.Select(r => (string)r!["tube"]!).Order());
        foreach (var result in results)
        {
            var tube = (await round.Stock.FindAsync((string)result!["tube"]!, Cancellation))!;
            Assert.Equal(TubeState.Screened, tube.State);
            Assert.Equal((string?)result["verdict"], tube.History[^1].Text);
            Assert.Equal((string?)result["tube"], (string?)(await bench.GetAsync($"/api/runs/{(string)result["runId"]!}"))["tube"]!["label"]);
        }
        // Another tube in the socket is another curve: the hands of the simulated rig have moved them.
        Assert.True(results.Select(r => (string)r!["verdict"]!).Distinct().Count() > 6);
        var pace = over["pace"]!;
        Assert.Equal(12, (int)pace["done"]!);
        Assert.Equal(12 * 3600 / (double)pace["elapsedSeconds"]!, (double)pace["tubesPerHour"]!, 1e-6);
        Assert.True((double)pace["boundTubesPerHour"]! > 0 && (double)pace["leastSeconds"]! > 0, pace.ToJsonString());
        await Eventually.HoldsAsync("the heaters to be off", async () => !(bool)(await bench.GetAsync("/api/bench"))["heater"]!["on"]!);
        await viewer.UntilAsync<RoundChangedView>(r => r.Version >= (long)over["version"]!);
    }

    [Fact]
    public async Task A_round_that_was_ended_goes_on_with_those_that_are_new()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var round = new ServedRound(bench);
        await round.BookAsync("Skua", 3);
        await round.BegunAsync("Skua", 1, 2);
        (await round.EnterAsync("3")).Dispose();
        (await round.EnterAsync("s2")).Dispose();
        await Eventually.HoldsAsync("the first tube to be done", async () => (await round.StateAsync())["results"]!.AsArray().Count == 1);
        (await bench.SendAsync("DELETE", "/api/round", null)).Dispose();
        Assert.Contains("2 tubes not swept", (string?)(await round.StateAsync())["asks"]![0]!["text"], StringComparison.Ordinal);

        var again = await round.BegunAsync("Skua");
        Assert.Equal(["SKUA-001", "SKUA-002"], again["waiting"]!.AsArray().Select(t => (string)t!));
        using var second = await round.BeginAsync(new { plan = "gentle-pentode" });
        Assert.Equal("round-under-way", await CodeAsync(second, HttpStatusCode.Conflict));
    }

    [Fact]
    public async Task What_cannot_be_is_told_with_what_to_do()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var round = new ServedRound(bench);
        await round.BookAsync("Skua", 2);
        await round.BookAsync("Kestrel", 1);
        await round.Stock.ChangeAsync("KESTREL-001", TubeChangeKind.Retired, "cracked", Cancellation);

        foreach (var (request, code) in new (object, string)[]
        {
            (new { plan = "gentle-pentode", lot = "Gannet" }, "lot-unknown"),
            (new { plan = "gentle", lot = "Skua" }, "plan-unknown"),
            (new { plan = "gentle-pentode", tubes = new[] { "SKUA-009" } }, "tube-unknown"),
            (new { plan = "gentle-pentode", lot = "Skua", tubes = new[] { "kestrel-001" } }, "tube-of-another-lot"),
            (new { plan = "gentle-pentode", tubes = new[] { "SKUA-001", "SKUA-001" } }, "tube-twice"),
            (new { plan = "gentle-pentode", lot = "Kestrel" }, "no-tubes"),
            (new { plan = "gentle-pentode", lot = "Skua", sockets = new[] { 4 } }, "socket-unknown"),
        })
        {
            using var answer = await round.BeginAsync(request);
            Assert.Equal(code, await CodeAsync(answer, HttpStatusCode.UnprocessableEntity));
        }
        using var without = await round.EnterAsync("");
        Assert.Equal("no-round", await CodeAsync(without, HttpStatusCode.Conflict));

        await round.BegunAsync("Skua", 0);
        foreach (var (line, code) in new[] { ("KESTREL-001", "tube-of-another-lot"), ("TERN-001", "tube-unknown"), ("s3", "socket-unknown"), ("keep", "nothing-asked"), ("pull s0", "socket-empty") })
        {
            using var answer = await round.EnterAsync(line);
            Assert.Equal(code, await CodeAsync(answer, answer.StatusCode));
        }
        (await round.EnterAsync("SKUA-001")).Dispose();
        (await round.EnterAsync("")).Dispose();
        using var twice = await round.EnterAsync("SKUA-001");
        Assert.Contains(await CodeAsync(twice, HttpStatusCode.UnprocessableEntity), new[] { "tube-in-two-sockets", "tube-done" });
    }

    [Fact]
    public async Task A_bench_that_was_made_safe_holds_the_round_and_loses_nothing()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var round = new ServedRound(bench);
        await round.BookAsync("Skua", 3);
        await round.BegunAsync("Skua", 0, 1);
        (await round.EnterAsync("")).Dispose();
        (await bench.SendAsync("POST", "/api/bench/safe", null)).Dispose();
        await Eventually.HoldsAsync("the round to be held", async () => (string?)(await round.StateAsync())["asks"]![0]!["kind"] == "mend");
        Assert.Contains("tripped", (string?)(await round.StateAsync())["held"], StringComparison.Ordinal);

        var over = await round.ThroughAsync();
        Assert.Equal(3, over["results"]!.AsArray().Select(r => (string)r!["tube"]!).Distinct().Count());
    }

    [Fact]
    public async Task A_trip_that_a_tube_gave_is_its_verdict()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var round = new ServedRound(bench);
        await round.BookAsync("Skua", 1);
        await round.BegunAsync("Skua", 0);
        // A screen at 0 V behind 100 ohm from a rail of 28 V is 280 mA, as with a shorted tube.
        bench.Services.GetRequiredService<StationList>().Default.Simulated!.Inject(new SimulatedFault.ChannelStuck(RigChannel.Screen, 0));
        (await round.EnterAsync("")).Dispose();
        await Eventually.HoldsAsync("the tube to be done", async () => (bool)(await round.StateAsync())["isOver"]!);
        Assert.StartsWith("tripped: ", (string?)(await round.StateAsync())["results"]![0]!["verdict"], StringComparison.Ordinal);
        Assert.Contains("cathode-current", (string?)(await round.StateAsync())["results"]![0]!["verdict"], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(RunState.Tripped)]
    [InlineData(RunState.Incomplete)]
    [InlineData(RunState.Stopped)]
    public async Task A_sweep_that_ended_for_a_reason_of_the_bench_says_nothing_of_its_tube_which_is_swept_again(RunState end)
    {
        await using var bench = await TestBench.StartAsync();
        var round = new ServedRound(bench);
        await round.BookAsync("Skua", 1);
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0, 60));
        var runner = bench.Runner;
        Connect(runner);
        runner.Header = header;
        runner.Ends.Enqueue(end);
        runner.Ends.Enqueue(RunState.Complete);
        await round.BegunAsync("Skua", 0);
        (await round.EnterAsync("")).Dispose();
        await Eventually.HoldsAsync("the tube to be done", async () => (bool)(await round.StateAsync())["isOver"]!);
        Assert.Single((await round.StateAsync())["results"]!.AsArray());
        lock (runner.Asked) Assert.Equal(2, runner.Asked.Count(a => a.StartsWith("start ", StringComparison.Ordinal)));
    }

    [Fact]
    public async Task A_tube_that_another_bench_has_screened_meanwhile_is_not_asked_for()
    {
        await using var bench = await TestBench.StartAsync();
        var round = new ServedRound(bench);
        await round.BookAsync("Skua", 2);
        Connect(bench.Runner);
        var begun = await round.BegunAsync("Skua", 0);
        Assert.Equal("SKUA-001", (string?)begun["asks"]![0]!["tube"]);
        await round.Stock.ChangeAsync("SKUA-001", TubeChangeKind.Screened, "good", Cancellation);
        await Eventually.HoldsAsync("the next tube to be asked for", async () => (string?)(await round.StateAsync())["asks"]![0]!["tube"] == "SKUA-002");
        Assert.Contains("another bench", (string?)(await round.StateAsync())["results"]![0]!["verdict"], StringComparison.Ordinal);
    }

    private static void Connect(FakeRunner runner)
    {
        runner.State = runner.State with { Link = RigLinkState.Connected, Identity = Examples.Rig, Heater = new(true, TimeSpan.FromHours(1), TimeSpan.Zero) };
        runner.Planned = new([], new(0), false, TimeSpan.Zero);
    }

    private static async Task<string?> CodeAsync(HttpResponseMessage answer, HttpStatusCode status) =>
        (string?)(await TestBench.ProblemAsync(answer, status))["refusals"]![0]!["code"];
}
