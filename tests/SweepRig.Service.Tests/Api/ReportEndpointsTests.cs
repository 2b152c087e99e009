using System.Net;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

public sealed class ReportEndpointsTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_report_comes_as_a_page_and_as_a_file()
    {
        await using var bench = await TestBench.StartAsync();
        // A tube that the model fits at once; of made-up readings the fit would take its time.
        var run = new ModelledRun(PlanExamples.GentlePentode.Plan with { Points = 71 });
        var header = run.Header;
        await bench.RecordAsync(header, RunState.Complete, run.Blocks());
        using var html = await bench.SendAsync("GET", $"/api/runs/{header.Id}/report.html", null);
        Assert.Equal("text/html", html.Content.Headers.ContentType!.MediaType);
        Assert.Contains("SKUA-014", await html.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
        using var pdf = await bench.SendAsync("GET", $"/api/runs/{header.Id}/report.pdf?paper=letter", null);
        Assert.Equal("application/pdf", pdf.Content.Headers.ContentType!.MediaType);
        Assert.Equal($"SKUA-014-pentode-{header.Id}.pdf", pdf.Content.Headers.ContentDisposition!.FileName);
        Assert.StartsWith("%PDF-", await pdf.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_run_without_a_single_sample_has_a_report_too()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Stopped);
        foreach (var kind in (string[])["html", "pdf"])
        {
            using var answer = await bench.SendAsync("GET", $"/api/runs/{header.Id}/report.{kind}", null);
            Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        }
    }

    [Fact]
    public async Task Unknown_paper_is_refused_by_name()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0));
        using var answer = await bench.SendAsync("GET", $"/api/runs/{header.Id}/report.pdf?paper=a5", null);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.Equal("/paper", (string?)problem["refusals"]![0]!["path"]);
    }
}
