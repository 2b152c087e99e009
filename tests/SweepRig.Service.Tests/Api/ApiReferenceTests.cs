using System.Net;
using System.Text.RegularExpressions;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Api;

public sealed partial class ApiReferenceTests
{
    [Fact]
    public async Task The_page_of_the_API_brings_its_own_script_and_runs_no_other()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var bench = await TestBench.StartAsync();
        using var answer = await bench.Http.GetAsync("/api/reference", cancellation);
        Assert.Equal("text/html", answer.Content.Headers.ContentType!.MediaType);
        var page = await answer.Content.ReadAsStringAsync(cancellation);
        Assert.Contains("openapi.json", page, StringComparison.Ordinal);
        Assert.DoesNotContain("https://", page, StringComparison.Ordinal);

        var policy = Assert.Single(answer.Headers.GetValues("Content-Security-Policy"));
        var nonce = Nonce().Match(policy).Groups[1].Value;
        Assert.NotEqual("", nonce);
        Assert.DoesNotContain("unsafe-eval", policy, StringComparison.Ordinal);
        Assert.All(ScriptTag().Matches(page), tag => Assert.Contains(nonce, tag.Value, StringComparison.Ordinal));

        var scripts = Source().Matches(page).Select(m => m.Groups[1].Value).ToList();
        Assert.NotEmpty(scripts);
        foreach (var script in scripts)
        {
            using var file = await bench.Http.GetAsync(new Uri(new Uri(bench.Url, "/api/reference/"), script), cancellation);
            Assert.True(file.StatusCode == HttpStatusCode.OK, script);
        }
    }

    [GeneratedRegex("'nonce-([0-9a-f]+)'")]
    private static partial Regex Nonce();

    [GeneratedRegex("<script[^>]*>")]
    private static partial Regex ScriptTag();

    [GeneratedRegex("<script[^>]*src=\"([^\"]+)\"")]
    private static partial Regex Source();
}
