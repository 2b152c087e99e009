using System.Net;
using System.Text.Json.Nodes;
using SweepRig.Domain;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Screening;
using SweepRig.Service.Live;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

public sealed class RunEndpointsTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private static string Request(string plan, string tube = "{\"label\":\"SKUA-014\",\"type\":\"6AU6\"}") => $"{{\"plan\":{plan},\"tube\":{tube}}}";

    [Fact]
    public async Task A_started_run_is_accepted_with_its_address()
    {
        await using var bench = await TestBench.StartAsync();
        var header = bench.Runner.Header = Examples.Header();
        using var answer = await bench.SendAsync("POST", "/api/runs", Request(PlanDocument.Write(PlanExamples.GentlePentode.Plan)));
        Assert.Equal(HttpStatusCode.Accepted, answer.StatusCode);
        Assert.Equal($"/api/runs/{header.Id}", answer.Headers.Location!.ToString());
        var run = JsonNode.Parse(await answer.Content.ReadAsStringAsync(Cancellation))!;
        Assert.Equal(header.Id, (string?)run["id"]);
        Assert.Equal("running", (string?)run["state"]);
        Assert.Equal([$"start {PlanExamples.GentlePentode.Plan.Name} SKUA-014 0"], bench.Runner.Asked);
    }

    [Fact]
    public async Task Faults_of_plan_and_tube_come_at_once_with_paths_into_the_request()
    {
        await using var bench = await TestBench.StartAsync();
        var plan = JsonNode.Parse(PlanDocument.Write(PlanExamples.GentlePentode.Plan))!;
        plan["drive"]!["points"] = 1_000_000;
        plan["connection"]!["plateRailVolts"] = 250;
        plan["colour"] = "red";
        using var answer = await bench.SendAsync("POST", "/api/runs", Request(plan.ToJsonString(), "{\"label\":\"\",\"type\":\"6AU6\"}"));
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        var paths = problem["refusals"]!.AsArray().Select(r => (string)r!["path"]!).ToHashSet();
        Assert.Superset(new HashSet<string> { "/plan/drive/points", "/plan/connection/plateRailVolts", "/plan/colour", "/tube/label" }, paths);
        Assert.Empty(bench.Runner.Asked);
    }

    [Theory]
    [InlineData("\"a text\"")]
    [InlineData("null")]
    [InlineData("[]")]
    [InlineData("7")]
    public async Task A_plan_that_is_no_document_is_refused(string plan)
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.SendAsync("POST", "/api/runs", Request(plan));
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.StartsWith("/plan", (string?)problem["refusals"]![0]!["path"], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("drive-above-ceiling", "/drive/stopVolts", HttpStatusCode.UnprocessableEntity, "/plan/drive/stopVolts")]
    [InlineData("busy", "", HttpStatusCode.Conflict, "")]
    public async Task A_refusal_by_the_runner_keeps_its_place(string code, string path, HttpStatusCode status, string shown)
    {
        await using var bench = await TestBench.StartAsync();
        bench.Runner.Refusal = new Refusal(code, path, "asked", "allowed", "Remedy.");
        using var answer = await bench.SendAsync("POST", "/api/runs", Request(PlanDocument.Write(PlanExamples.FarPositivePentode.Plan)));
        var problem = await TestBench.ProblemAsync(answer, status);
        Assert.Equal(shown, (string?)problem["refusals"]![0]!["path"]);
    }

    [Fact]
    public async Task Runs_are_listed_newest_first_in_pages()
    {
        await using var bench = await TestBench.StartAsync();
        for (var i = 0; i < 5; i++) await bench.RecordAsync(Examples.Header(started: Examples.Started.AddMinutes(i)), RunState.Complete);
        var first = await bench.GetAsync("/api/runs?limit=3");
        Assert.Equal(["2026-03-14T09:30:53.589Z", "2026-03-14T09:29:53.589Z", "2026-03-14T09:28:53.589Z"], first["runs"]!.AsArray().Select(r => (string)r!["startedUtc"]!));
        var second = await bench.GetAsync($"/api/runs?limit=3&olderThan={(string)first["olderThan"]!}");
        Assert.Equal(2, second["runs"]!.AsArray().Count);
        Assert.Null(second["olderThan"]);
    }

    [Fact]
    public async Task Steps_of_a_screening_are_marked_and_can_be_listed_apart()
    {
        await using var bench = await TestBench.StartAsync();
        // A tube whose label is made to look like the key of a screening stays a sweep.
        var sweep = Examples.Header() with { Tube = new("\"screening\":{", "6AU6") };
        var step = Examples.Header(started: Examples.Started.AddMinutes(1)) with { Screening = new("7".PadLeft(32, '0'), ScreeningStepKind.ColdRailOn) };
        await bench.RecordAsync(sweep, RunState.Complete, Examples.Block(0));
        await bench.RecordAsync(step, RunState.Complete, Examples.Block(0));

        Assert.Equal([step.Id, sweep.Id], await IdsAsync(""));
        Assert.Equal([sweep.Id], await IdsAsync("?only=sweeps"));
        Assert.Equal([step.Id], await IdsAsync("?only=screenings"));
        Assert.Equal("cold-rail-on", (string?)(await bench.GetAsync($"/api/runs/{step.Id}"))["screening"]!["step"]);
        Assert.Null((await bench.GetAsync($"/api/runs/{sweep.Id}"))["screening"]);

        async Task<string[]> IdsAsync(string query) => [.. (await bench.GetAsync("/api/runs" + query))["runs"]!.AsArray().Select(r => (string)r!["id"]!)];
    }

    [Fact]
    public async Task Every_column_of_a_curve_comes_with_its_uncertainty()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        var curve = (await bench.GetAsync($"/api/runs/{header.Id}/curves"))["curves"]![0]!;
        foreach (var column in new[] { "drive", "grid", "plate", "screen", "supply", "gridCurrent", "plateCurrent", "screenCurrent" })
        {
            var uncertainty = curve[column + "Uncertainty"]!.AsArray();
            Assert.Equal(141, uncertainty.Count);
            Assert.All(uncertainty.Take(7), u => Assert.InRange((double)u!, 1e-9, 1));
            Assert.All(uncertainty.Skip(7), Assert.Null);
        }
    }

    [Theory]
    [InlineData("/api/runs?limit=0", "/limit")]
    [InlineData("/api/runs?only=curves", "/only")]
    [InlineData("/api/runs?limit=501", "/limit")]
    [InlineData("/api/runs?limit=-3", "/limit")]
    [InlineData("/api/runs?limit=many", "/limit")]
    [InlineData("/api/runs?limit=1.5", "/limit")]
    [InlineData("/api/runs?limit=99999999999", "/limit")]
    [InlineData("/api/runs?limit=2&limit=3", "/limit")]
    [InlineData("/api/runs/RUN/blocks?from=-1", "/from")]
    [InlineData("/api/runs/RUN/blocks?from=x", "/from")]
    public async Task A_parameter_out_of_range_is_refused_by_name(string path, string parameter)
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete);
        using var answer = await bench.SendAsync("GET", path.Replace("RUN", header.Id, StringComparison.Ordinal), null);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.Equal(parameter, (string?)problem["refusals"]![0]!["path"]);
    }

    [Theory]
    [InlineData("")]
    [InlineData("/curves")]
    [InlineData("/levels")]
    [InlineData("/blocks")]
    [InlineData("/export.csv")]
    [InlineData("/report.html")]
    [InlineData("/report.pdf")]
    public async Task A_run_that_does_not_exist_is_not_found(string part)
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.SendAsync("GET", "/api/runs/0195a0d0000070008000000000000001" + part, null);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.NotFound);
        Assert.Contains("0195a0d0000070008000000000000001", (string?)problem["refusals"]![0]!["asked"], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_run_is_shown_with_its_plan()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header(example: PlanExamples.FarPositivePentode);
        await bench.RecordAsync(header, RunState.Tripped, Examples.Block(0));
        var run = await bench.GetAsync($"/api/runs/{header.Id}");
        Assert.Equal("tripped", (string?)run["state"]);
        Assert.Equal(7, (int)run["samples"]!);
        Assert.Equal("2026-03-14T09:26:57.589Z", (string?)run["endedUtc"]);
        Assert.False((bool)run["calibrated"]!);
        Assert.Equal(24, (double)run["driveStop"]!);
        var again = PlanDocument.Parse(run["plan"]!.ToJsonString());
        Assert.Equal(header.Plan, again.Value);
    }

    [Fact]
    public async Task A_curve_has_null_where_a_point_is_missing()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0), Examples.Block(14, frame: 2));
        var curve = (await bench.GetAsync($"/api/runs/{header.Id}/curves"))["curves"]!.AsArray().Single()!;
        var plate = curve["plate"]!.AsArray();
        Assert.Equal(141, plate.Count);
        Assert.Equal(2800 * 40.96 / 4095, (double)plate[0]!, 9);
        Assert.Null(plate[7]);
        Assert.Null(plate[13]);
        Assert.NotNull(plate[14]);
        Assert.Null(curve["drive"]![7]);
    }

    [Fact]
    public async Task Levels_are_those_of_the_recorded_curve()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, [.. Enumerable.Range(0, 20).Select(i => Examples.Block(7 * i, frame: i)), Examples.Block(140, 1, frame: 20)]);
        var levels = await bench.GetAsync($"/api/runs/{header.Id}/levels");
        var curve = levels["curves"]!.AsArray().Single()!;
        // The straight line of the example: from code 2800 at point 0 down to 1400 at point 140.
        Assert.Equal(2800 * 40.96 / 4095, (double)curve["highestOutput"]!["value"]!, 0.15);
        Assert.Equal(1400 * 40.96 / 4095, (double)curve["lowestOutput"]!["value"]!, 0.15);
        Assert.Equal("V", (string?)curve["lowestOutput"]!["unit"]);
        Assert.Null(levels["upDownDifference"]!["value"]);
        Assert.NotEqual("", (string?)levels["upDownDifference"]!["absentBecause"]);
    }

    [Fact]
    public async Task Missed_blocks_are_fetched_page_by_page_and_join_up_with_the_live_ones()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, [.. Enumerable.Range(0, BlockPages.BlocksPerPage + 5).Select(i => Examples.Block(0, 1, frame: i))]);
        var first = await bench.GetAsync($"/api/runs/{header.Id}/blocks?from=3");
        Assert.Equal(BlockPages.BlocksPerPage, first["blocks"]!.AsArray().Count);
        Assert.Equal(3, (long)first["blocks"]![0]!["sequence"]!);
        Assert.Null(first["blocks"]![0]!["newestSampleUnixMs"]);
        Assert.Equal(BlockPages.BlocksPerPage + 3, (long)first["nextSequence"]!);
        var second = await bench.GetAsync($"/api/runs/{header.Id}/blocks?from={(long)first["nextSequence"]!}");
        Assert.Equal(2, second["blocks"]!.AsArray().Count);
        Assert.Null(second["nextSequence"]);
    }

    [Fact]
    public async Task A_run_is_exported_as_a_file_named_after_its_tube()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        using var answer = await bench.SendAsync("GET", $"/api/runs/{header.Id}/export.csv", null);
        Assert.Equal("text/csv", answer.Content.Headers.ContentType!.MediaType);
        Assert.Equal("attachment", answer.Content.Headers.ContentDisposition!.DispositionType);
        Assert.Equal($"SKUA-014-pentode-{header.Id}.csv", answer.Content.Headers.ContentDisposition.FileName);
        var lines = (await answer.Content.ReadAsStringAsync(Cancellation)).Split("\r\n");
        Assert.Contains("drive (V)", lines[0], StringComparison.Ordinal);
        Assert.Equal(1 + 141 + 1, lines.Length);
    }
}
