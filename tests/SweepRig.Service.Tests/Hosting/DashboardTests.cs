using System.Net;
using System.Text.RegularExpressions;
using SweepRig.Service.Hosting;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Hosting;

public sealed partial class DashboardTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("/")]
    [InlineData("/runs")]
    [InlineData("/runs/0195a0d0000070008000000000000001")]
    public async Task The_page_is_there_under_the_address_of_every_screen(string address)
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.Http.GetAsync(address, Cancellation);
        var page = await answer.Content.ReadAsStringAsync(Cancellation);
        if (!Dashboard.IsIncluded)
        {
            // Built with -p:BuildDashboard=false: the front door says so, and there are no screens.
            Assert.Equal(address == "/" ? HttpStatusCode.OK : HttpStatusCode.NotFound, answer.StatusCode);
            return;
        }
        Assert.Equal("text/html", answer.Content.Headers.ContentType!.MediaType);
        Assert.True(answer.Headers.CacheControl!.NoCache);
        foreach (var file in OwnFiles().Matches(page).Select(m => m.Groups[1].Value))
        {
            using var part = await bench.Http.GetAsync(file, Cancellation);
            Assert.True(part.StatusCode == HttpStatusCode.OK, $"{file}: {part.StatusCode}");
        }
    }

    [Theory]
    [InlineData("/assets/nothing.js")]
    [InlineData("/api/nothing")]
    [InlineData("/hub/nothing")]
    [InlineData("/../../etc/passwd.txt")]
    public async Task What_is_no_screen_is_not_answered_with_the_page(string address)
    {
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.Http.GetAsync(address, Cancellation);
        await TestBench.ProblemAsync(answer, HttpStatusCode.NotFound);
    }

    [Fact]
    public async Task The_page_asks_for_nothing_from_elsewhere()
    {
        await using var bench = await TestBench.StartAsync();
        var page = await bench.Http.GetStringAsync("/", Cancellation);
        Assert.DoesNotContain("https://", page, StringComparison.Ordinal);
        Assert.DoesNotMatch(InlineScript(), page);
    }

    [GeneratedRegex("(?:src|href)=\"(/[^\"]+)\"")]
    private static partial Regex OwnFiles();

    /// <summary>The content security policy lets no script run that stands in the page itself.</summary>
    [GeneratedRegex("<script(?![^>]*\\bsrc=)")]
    private static partial Regex InlineScript();
}
