using System.Net;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

public sealed class ExportEndpointsTests
{
    [Fact]
    public async Task Samples_and_levels_come_in_every_form()
    {
        await using var bench = await TestBench.StartAsync();
        var header = Examples.Header();
        await bench.RecordAsync(header, RunState.Complete, Examples.Block(0, header.Plan.Points));
        foreach (var (path, media, begins) in new[]
        {
            ("samples?tube=skua-014", "text/csv", "run,started (UTC)"), ($"samples?run={header.Id}&form=json", "application/json", "{\"format\": \"sweeprig-samples/1\""),
            ("samples?tube=SKUA-014&form=parquet", "application/vnd.apache.parquet", "PAR1"), ($"levels?run={header.Id}", "text/csv", "run,started (UTC)"),
            ("levels?tube=SKUA-014&form=Parquet", "application/vnd.apache.parquet", "PAR1"),
        })
        {
            using var answer = await bench.SendAsync("GET", "/api/exports/" + path, null);
            Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
            Assert.Equal(media, answer.Content.Headers.ContentType!.MediaType);
            Assert.StartsWith(begins, await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("samples?tube=SKUA-014&form=xls", "/form")]
    [InlineData("samples", "/run")]
    [InlineData("levels?lot=Petrel", "/lot")]
    [InlineData("levels?run=abc", "/run")]
    [InlineData("levels?tube=SKUA-015", "/tube")]
    public async Task What_cannot_be_exported_is_refused_by_place(string path, string place)
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.SendAsync("GET", "/api/exports/" + path, null);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.Equal(place, (string?)problem["refusals"]![0]!["path"]);
    }
}
