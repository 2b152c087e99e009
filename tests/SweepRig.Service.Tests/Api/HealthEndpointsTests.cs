using System.Net;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

public sealed class HealthEndpointsTests
{
    [Fact]
    public async Task A_tube_that_was_not_screened_is_told_with_the_way_to_do_it()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        foreach (var (id, remedy) in new[] { (header.Id, "sweeprig screen --tube SKUA-014 --type 6AU6"), ("ffff", "GET /api/runs") })
        {
            using var answer = await bench.SendAsync("GET", $"/api/runs/{id}/health", null);
            var refusal = (await TestBench.ProblemAsync(answer, HttpStatusCode.NotFound))["refusals"]![0]!;
            Assert.Contains(remedy, (string?)refusal["remedy"], StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task The_newest_screening_of_the_tube_speaks_and_for_a_step_its_own()
    {
        await using var bench = await TestBench.StartAsync();
        var sweep = Examples.Header(started: Examples.Started.AddHours(3));
        var (older, newer, other) = (Step("a", 0), Step("b", 1), Step("c", 2) with { Tube = new("SKUA-087", "6AU6") });
        foreach (var header in new[] { older, newer, other, sweep }) await bench.RecordAsync(header, RunState.Complete, Examples.Block(0, 60));

        var ofTube = await bench.GetAsync($"/api/runs/{sweep.Id}/health");
        Assert.Equal(newer.Screening!.ScreeningId, (string?)ofTube["screeningId"]);
        Assert.Equal("SKUA-014", (string?)ofTube["tube"]!["label"]);
        Assert.NotEmpty(ofTube["items"]!.AsArray());
        Assert.NotEmpty(ofTube["notSeen"]!.AsArray());
        Assert.Equal(older.Screening!.ScreeningId, (string?)(await bench.GetAsync($"/api/runs/{older.Id}/health"))["screeningId"]);
    }

    private static RunHeader Step(string screening, int hours) =>
        Examples.Header(started: Examples.Started.AddHours(hours)) with { Screening = new(screening.PadLeft(32, '0'), ScreeningStepKind.Transfer) };
}
