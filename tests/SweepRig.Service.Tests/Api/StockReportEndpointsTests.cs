using System.Net;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

public sealed class StockReportEndpointsTests
{
    private const string Grades = """{"format": "grades/1", "grades": [{"name": "first", "limits": [{"quantity": "pentode.vol", "unit": "V", "highest": 9}]}]}""";

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Lots_and_tubes_have_reports_as_page_and_as_file()
    {
        await using var bench = await TestBench.StartAsync();
        using (await bench.SendAsync("POST", "/api/lots", """{"name": "Skua", "type": "6AU6", "count": 2}""")) { }
        foreach (var (path, file) in new[] { ("/api/lots/Skua/report", "lot-Skua.pdf"), ("/api/tubes/skua-001/report", "SKUA-001.pdf") })
        {
            using var html = await bench.SendAsync("GET", $"{path}.html", null);
            Assert.Equal("text/html", html.Content.Headers.ContentType!.MediaType);
            Assert.Contains("Skua", await html.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
            using var pdf = await bench.SendAsync("GET", $"{path}.pdf?paper=letter", null);
            Assert.Equal(file, pdf.Content.Headers.ContentDisposition!.FileName);
            Assert.StartsWith("%PDF-", await pdf.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
        }
        using var graded = await bench.SendAsync("GET", $"/api/lots/Skua/report.html?grades={Uri.EscapeDataString(Grades)}", null);
        Assert.Contains("pentode.vol up to 9 V", await graded.Content.ReadAsStringAsync(Cancellation), StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_not_there_or_not_understood_is_told()
    {
        await using var bench = await TestBench.StartAsync();
        using (await bench.SendAsync("POST", "/api/lots", """{"name": "Skua", "count": 1}""")) { }
        using var lot = await bench.SendAsync("GET", "/api/lots/Petrel/report.pdf", null);
        await TestBench.ProblemAsync(lot, HttpStatusCode.NotFound);
        using var tube = await bench.SendAsync("GET", "/api/tubes/SKUA-002/report.html", null);
        await TestBench.ProblemAsync(tube, HttpStatusCode.NotFound);
        using var grades = await bench.SendAsync("GET", $"/api/lots/Skua/report.html?grades={Uri.EscapeDataString("{}")}", null);
        var problem = await TestBench.ProblemAsync(grades, HttpStatusCode.UnprocessableEntity);
        Assert.StartsWith("/grades", (string?)problem["refusals"]![0]!["path"], StringComparison.Ordinal);
        using var paper = await bench.SendAsync("GET", "/api/tubes/SKUA-001/report.pdf?paper=a5", null);
        await TestBench.ProblemAsync(paper, HttpStatusCode.UnprocessableEntity);
    }
}
