using System.Net;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

/// <summary>Labels and tables of the stock over REST. What is on them is checked where they are made.</summary>
public sealed class StockPaperEndpointsTests
{
    [Fact]
    public async Task Labels_and_table_of_a_lot_are_served()
    {
        await using var bench = await TestBench.StartAsync();
        using var booked = await bench.SendAsync("POST", "/api/lots", """{"name": "Skua", "count": 3, "type": "6AU6"}""");
        Assert.Equal(HttpStatusCode.Created, booked.StatusCode);
        var cancellation = TestContext.Current.CancellationToken;
        Assert.Equal("%PDF"u8.ToArray(), (await bench.Http.GetByteArrayAsync("/api/labels.pdf?lot=Skua&skip=2", cancellation))[..4]);
        Assert.Equal("%PDF"u8.ToArray(), (await bench.Http.GetByteArrayAsync("/api/labels.pdf?tube=skua-002&paper=letter&columns=3&rows=8&width=70&height=34", cancellation))[..4]);
        using var answer = await bench.Http.GetAsync("/api/stock.csv?lot=Skua", cancellation);
        Assert.Equal("text/csv", answer.Content.Headers.ContentType!.MediaType);
        var lines = (await answer.Content.ReadAsStringAsync(cancellation)).Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        // A header, and of each tube that it was booked in and what it is.
        Assert.Equal(1 + 3 * 2, lines.Length);
    }

    [Theory]
    [InlineData("/api/labels.pdf", "label-of-nothing")]
    [InlineData("/api/labels.pdf?lot=Tern", "label-of-nothing")]
    [InlineData("/api/labels.pdf?lot=Skua&tube=SKUA-099", "tube-unknown")]
    [InlineData("/api/labels.pdf?lot=Skua&paper=a3", "paper-unknown")]
    [InlineData("/api/labels.pdf?lot=Skua&skip=5000", "skip-past-the-sheet")]
    [InlineData("/api/labels.pdf?lot=Skua&skip=-1", "skip-past-the-sheet")]
    [InlineData("/api/labels.pdf?lot=Skua&width=70", "half-a-measure")]
    [InlineData("/api/labels.pdf?lot=Skua&skip=few", "not-a-whole-number")]
    [InlineData("/api/stock.csv?lot=Tern", "nothing-to-export")]
    public async Task Bad_wishes_are_refused(string path, string code)
    {
        await using var bench = await TestBench.StartAsync();
        using var booked = await bench.SendAsync("POST", "/api/lots", """{"name": "Skua", "count": 1}""");
        using var answer = await bench.Http.GetAsync(path, TestContext.Current.CancellationToken);
        var problem = await TestBench.ProblemAsync(answer, HttpStatusCode.UnprocessableEntity);
        Assert.Equal(code, (string?)problem["refusals"]![0]!["code"]);
    }
}
