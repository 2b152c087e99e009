using System.Net;
using System.Net.Http.Headers;
using System.Text.Json.Nodes;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

public sealed class ArchiveEndpointsTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task What_one_service_gives_out_another_takes_in()
    {
        await using TestBench one = await TestBench.StartAsync(), other = await TestBench.StartAsync();
        var header = Examples.Header();
        await one.RecordAsync(header, RunState.Complete, Examples.Block(0, header.Plan.Points));
        using (await one.SendAsync("POST", "/api/lots", """{"name": "Skua", "type": "6AU6", "count": 14}""")) { }
        using var given = await one.SendAsync("GET", "/api/archive?lot=Skua", null);
        Assert.Equal("application/zip", given.Content.Headers.ContentType!.MediaType);
        var archive = await given.Content.ReadAsByteArrayAsync(Cancellation);

        Assert.Equal((false, 1), await SendAsync(other, archive, "?look=true"));
        Assert.Equal((true, 1), await SendAsync(other, archive));
        Assert.Equal((true, 0), await SendAsync(other, archive));
        using var levels = await other.SendAsync("GET", $"/api/runs/{header.Id}/levels", null);
        Assert.Equal(HttpStatusCode.OK, levels.StatusCode);
    }

    [Fact]
    public async Task What_is_no_archive_and_what_is_not_there_is_refused()
    {
        await using var bench = await TestBench.StartAsync();
        using var letter = await PostAsync(bench, "Dear Sir"u8.ToArray());
        var problem = await TestBench.ProblemAsync(letter, HttpStatusCode.UnprocessableEntity);
        Assert.Equal("archive-unreadable", (string?)problem["refusals"]![0]!["code"]);
        using var unknown = await bench.SendAsync("GET", "/api/archive?lot=Petrel", null);
        await TestBench.ProblemAsync(unknown, HttpStatusCode.UnprocessableEntity);
    }

    private static async Task<(bool TakenIn, int NewRuns)> SendAsync(TestBench bench, byte[] archive, string query = "")
    {
        using var answer = await PostAsync(bench, archive, query);
        var found = JsonNode.Parse(await answer.Content.ReadAsStringAsync(Cancellation))!;
        return ((bool)found["takenIn"]!, found["newRuns"]!.AsArray().Count);
    }

    private static Task<HttpResponseMessage> PostAsync(TestBench bench, byte[] archive, string query = "")
    {
        var content = new ByteArrayContent(archive);
        content.Headers.ContentType = new MediaTypeHeaderValue("application/zip");
        return bench.Http.PostAsync(new Uri("/api/archive" + query, UriKind.Relative), content, Cancellation);
    }
}
