using System.Net;
using System.Net.Http.Json;
using System.Net.WebSockets;
using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Hosting;

/// <summary>A page from elsewhere, open in the same browser, can neither read nor drive the rig; programs of this machine can.</summary>
public sealed class LoopbackGuardTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("evil.example")]
    [InlineData("evil.example:PORT")]
    [InlineData("localhost.evil.example:PORT")]
    [InlineData("127.0.0.1.evil.example:PORT")]
    [InlineData("localhost:1")]
    [InlineData("localhost")]
    [InlineData("192.168.1.20:PORT")]
    public async Task A_host_name_that_is_not_ours_is_misdirected(string host)
    {
        // What DNS rebinding looks like from here: a foreign name that has been made to resolve to this machine.
        await using var bench = await TestBench.StartAsync();
        foreach (var (method, path) in new[] { (HttpMethod.Get, "/api/bench"), (HttpMethod.Post, "/api/bench/safe"), (HttpMethod.Get, "/"), (HttpMethod.Post, "/hub/bench/negotiate") })
        {
            using var request = new HttpRequestMessage(method, path);
            request.Headers.Host = host.Replace("PORT", bench.Url.Port.ToString(System.Globalization.CultureInfo.InvariantCulture), StringComparison.Ordinal);
            using var answer = await bench.Http.SendAsync(request, Cancellation);
            Assert.Equal(HttpStatusCode.MisdirectedRequest, answer.StatusCode);
        }
        Assert.Empty(bench.Runner.Asked);
    }

    [Theory]
    [InlineData("localhost:PORT")]
    [InlineData("LOCALHOST:PORT")]
    [InlineData("127.0.0.1:PORT")]
    public async Task Names_of_this_machine_with_our_port_are_ours(string host)
    {
        await using var bench = await TestBench.StartAsync();
        using var request = new HttpRequestMessage(HttpMethod.Get, "/api/bench");
        request.Headers.Host = host.Replace("PORT", bench.Url.Port.ToString(System.Globalization.CultureInfo.InvariantCulture), StringComparison.Ordinal);
        using var answer = await bench.Http.SendAsync(request, Cancellation);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
    }

    [Theory]
    [InlineData("GET", "/api/bench")]
    [InlineData("POST", "/api/bench/safe")]
    [InlineData("POST", "/api/bench/permit")]
    [InlineData("DELETE", "/api/bench/permit")]
    [InlineData("OPTIONS", "/api/runs")]
    [InlineData("POST", "/hub/bench/negotiate")]
    [InlineData("GET", "/api/openapi.json")]
    [InlineData("GET", "/")]
    public async Task A_foreign_origin_is_forbidden_everywhere(string method, string path)
    {
        await using var bench = await TestBench.StartAsync();
        foreach (var origin in new[] { "https://evil.example", "null", $"http://localhost:{bench.Url.Port + 1}", $"https://127.0.0.1:{bench.Url.Port}", $"http://localhost:{bench.Url.Port}" })
        {
            using var request = new HttpRequestMessage(new HttpMethod(method), path);
            request.Headers.TryAddWithoutValidation("Origin", origin);
            using var answer = await bench.Http.SendAsync(request, Cancellation);
            Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
            Assert.Equal("application/problem+json", answer.Content.Headers.ContentType!.MediaType);
            Assert.DoesNotContain(answer.Headers, h => h.Key.StartsWith("Access-Control-", StringComparison.OrdinalIgnoreCase));
        }
        Assert.Empty(bench.Runner.Asked);
    }

    [Fact]
    public async Task Our_own_page_may_read_and_drive()
    {
        await using var bench = await TestBench.StartAsync();
        using var request = new HttpRequestMessage(HttpMethod.Post, "/api/bench/safe") { Content = JsonContent.Create(new { reason = "by the page" }) };
        request.Headers.Add("Origin", bench.Url.GetLeftPart(UriPartial.Authority));
        request.Headers.Add("Sec-Fetch-Site", "same-origin");
        using var answer = await bench.Http.SendAsync(request, Cancellation);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal(["safe: by the page"], bench.Runner.Asked);
    }

    [Theory]
    [InlineData("cross-site", "no-cors", "image", HttpStatusCode.Forbidden)]
    [InlineData("same-site", "no-cors", "script", HttpStatusCode.Forbidden)]
    [InlineData("cross-site", "navigate", "iframe", HttpStatusCode.Forbidden)]
    [InlineData("cross-site", "navigate", "document", HttpStatusCode.OK)]
    [InlineData("none", "navigate", "document", HttpStatusCode.OK)]
    public async Task Of_other_sites_only_a_link_that_a_person_follows_is_let_in(string site, string mode, string destination, HttpStatusCode expected)
    {
        await using var bench = await TestBench.StartAsync();
        using var request = new HttpRequestMessage(HttpMethod.Get, "/api/bench");
        request.Headers.Add("Sec-Fetch-Site", site);
        request.Headers.Add("Sec-Fetch-Mode", mode);
        request.Headers.Add("Sec-Fetch-Dest", destination);
        using var answer = await bench.Http.SendAsync(request, Cancellation);
        Assert.Equal(expected, answer.StatusCode);
    }

    [Fact]
    public async Task A_WebSocket_from_a_foreign_page_is_not_opened()
    {
        await using var bench = await TestBench.StartAsync();
        using var socket = new ClientWebSocket();
        socket.Options.SetRequestHeader("Origin", "https://evil.example");
        socket.Options.CollectHttpResponseDetails = true;
        await Assert.ThrowsAsync<WebSocketException>(() => socket.ConnectAsync(HubOf(bench), Cancellation));
        Assert.Equal(HttpStatusCode.Forbidden, socket.HttpStatusCode);
    }

    [Fact]
    public async Task A_WebSocket_under_a_foreign_name_is_not_opened()
    {
        await using var bench = await TestBench.StartAsync();
        using var socket = new ClientWebSocket();
        socket.Options.SetRequestHeader("Host", $"evil.example:{bench.Url.Port}");
        socket.Options.CollectHttpResponseDetails = true;
        await Assert.ThrowsAsync<WebSocketException>(() => socket.ConnectAsync(HubOf(bench), Cancellation));
        Assert.Equal(HttpStatusCode.MisdirectedRequest, socket.HttpStatusCode);
    }

    [Theory]
    [InlineData(null)]
    [InlineData("own")]
    public async Task A_WebSocket_of_a_program_or_of_our_page_is_opened(string? origin)
    {
        await using var bench = await TestBench.StartAsync();
        using var socket = new ClientWebSocket();
        if (origin is not null) socket.Options.SetRequestHeader("Origin", bench.Url.GetLeftPart(UriPartial.Authority));
        await socket.ConnectAsync(HubOf(bench), Cancellation);
        Assert.Equal(WebSocketState.Open, socket.State);
    }

    /// <summary>An order that takes no body is refused one all the same: nothing else there looks at its type.</summary>
    [Theory]
    [InlineData("text/plain")]
    [InlineData("application/x-www-form-urlencoded")]
    [InlineData("multipart/form-data")]
    [InlineData(null)]
    public async Task A_body_that_a_form_could_send_is_not_read(string? type)
    {
        await using var bench = await TestBench.StartAsync();
        foreach (var order in new[] { "/api/bench/safe", "/api/bench/acknowledge", "/api/bench/stop" })
        {
            using var content = new ByteArrayContent("{\"reason\":\"by a form\"}"u8.ToArray());
            if (type is not null) content.Headers.ContentType = new(type);
            using var answer = await bench.Http.PostAsync(order, content, Cancellation);
            Assert.Equal(HttpStatusCode.UnsupportedMediaType, answer.StatusCode);
        }
        Assert.Empty(bench.Runner.Asked);
    }

    [Fact]
    public async Task Every_answer_carries_the_headers_that_keep_others_out()
    {
        await using var bench = await TestBench.StartAsync();
        foreach (var path in new[] { "/", "/api/bench", "/api/nothing", "/api/openapi.json" })
        {
            using var answer = await bench.Http.GetAsync(path, Cancellation);
            Assert.Equal("same-origin", Header(answer, "Cross-Origin-Resource-Policy"));
            Assert.Equal("nosniff", Header(answer, "X-Content-Type-Options"));
            Assert.Equal("DENY", Header(answer, "X-Frame-Options"));
            Assert.Contains("frame-ancestors 'none'", Header(answer, "Content-Security-Policy"), StringComparison.Ordinal);
            Assert.Contains("default-src 'self'", Header(answer, "Content-Security-Policy"), StringComparison.Ordinal);
            Assert.DoesNotContain("unsafe-eval", Header(answer, "Content-Security-Policy"), StringComparison.Ordinal);
            Assert.False(answer.Headers.Contains("Access-Control-Allow-Origin"));
        }
    }

    [Fact]
    public async Task A_refusal_says_what_was_wrong_and_what_to_do()
    {
        await using var bench = await TestBench.StartAsync();
        using var request = new HttpRequestMessage(HttpMethod.Get, "/api/bench");
        request.Headers.Host = "evil.example";
        using var answer = await bench.Http.SendAsync(request, Cancellation);
        var problem = JsonNode.Parse(await answer.Content.ReadAsStringAsync(Cancellation))!;
        Assert.Equal("/problems/foreign-host", (string?)problem["type"]);
        Assert.Equal(421, (int)problem["status"]!);
        Assert.Equal("host \"evil.example\"", (string?)problem["refusals"]![0]!["asked"]);
        Assert.Contains($"http://localhost:{bench.Url.Port}/", (string?)problem["refusals"]![0]!["remedy"], StringComparison.Ordinal);
    }

    private static Uri HubOf(TestBench bench) => new($"ws://127.0.0.1:{bench.Url.Port}/hub/bench");

    private static string Header(HttpResponseMessage answer, string name) => Assert.Single(answer.Headers.GetValues(name));
}
