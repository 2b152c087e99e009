using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using SweepRig.Domain.Watching;
using SweepRig.Service.Hosting;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Watching;

/// <summary>Against a real web server on a loopback port.</summary>
public sealed class WebhookSenderTests : IAsyncLifetime
{
    private static readonly AlarmMessage Message = new(
        Guid.CreateVersion7(), new(2026, 11, 26, 3, 0, 0, TimeSpan.Zero),
        [new(BenchEvent.Of(new(2026, 11, 26, 3, 0, 0, TimeSpan.Zero), "north", EventSeverity.Alarm, EventKind.Trip, "Too much grid current (6.2 mA, limit 5 mA).", "Lower the highest drive.") with { Tube = "SKUA-014" }, 3)]);

    private readonly TemporaryData _data = new();
    private readonly WebhookSender _sender = new(TimeProvider.System);
    private readonly List<(string Body, Dictionary<string, string> Headers, string Url)> _got = [];
    private WebApplication _receiver = null!;
    private Func<HttpContext, Task> _answer = _ => Task.CompletedTask;

    public async ValueTask InitializeAsync()
    {
        var builder = WebApplication.CreateEmptyBuilder(new());
        builder.WebHost.UseKestrelCore().ConfigureKestrel(k => k.Listen(System.Net.IPAddress.Loopback, 0));
        _receiver = builder.Build();
        _receiver.Run(async context =>
        {
            using var reader = new StreamReader(context.Request.Body);
            _got.Add((await reader.ReadToEndAsync(), context.Request.Headers.ToDictionary(h => h.Key.ToLowerInvariant(), h => h.Value.ToString()), $"http://{context.Request.Host}{context.Request.Path}"));
            await _answer(context);
        });
        await _receiver.StartAsync(TestContext.Current.CancellationToken);
    }

    public async ValueTask DisposeAsync()
    {
        _sender.Dispose();
        await _receiver.DisposeAsync();
        _data.Dispose();
    }

    private AlarmWay.Webhook Way(SecretSource? secret = null) => new("phone", TimeSpan.FromSeconds(5), new(_receiver.BoundUrl() + "/hook"), secret);

    private Task SendAsync(AlarmWay.Webhook way) => _sender.SendAsync(way, Message, TestContext.Current.CancellationToken);

    [Fact]
    public async Task The_message_arrives_as_json_and_a_receiver_that_has_the_secret_can_prove_it()
    {
        await File.WriteAllTextAsync(_data.File("secret"), "tide-clock\n", TestContext.Current.CancellationToken);
        await SendAsync(Way(new(_data.File("secret"), null)));
        var (body, headers, url) = Assert.Single(_got);
        var json = JsonNode.Parse(body)!;
        Assert.Equal("alarm at north: Too much grid current (6.2 mA, limit 5 mA). And 3 more.", (string?)json["subject"]);
        Assert.Equal("trip north SKUA-014 3 Lower the highest drive.", $"{json["events"]![0]!["kind"]} {json["events"]![0]!["rig"]} {json["events"]![0]!["tube"]} {json["events"]![0]!["more"]} {json["events"]![0]!["remedy"]}");
        Assert.Equal("application/json", headers["content-type"]);
        Assert.Equal(MessageSignature.Digest(System.Text.Encoding.UTF8.GetBytes(body)), headers["content-digest"]);
        // What a receiver does (RFC 9421, 3.2), written here a second time.
        var parameters = headers["signature-input"]["sweeprig=".Length..];
        var signed = $"\"@method\": POST\n\"@target-uri\": {url}\n\"content-type\": application/json\n\"content-digest\": {headers["content-digest"]}\n\"@signature-params\": {parameters}";
        var mac = Convert.ToBase64String(System.Security.Cryptography.HMACSHA256.HashData("tide-clock"u8, System.Text.Encoding.UTF8.GetBytes(signed)));
        Assert.Equal($"sweeprig=:{mac}:", headers["signature"]);
        Assert.DoesNotContain("tide-clock", body + string.Join(' ', headers.Values), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(400, true)]
    [InlineData(401, true)]
    [InlineData(404, true)]
    [InlineData(302, true)]
    [InlineData(408, false)]
    [InlineData(429, false)]
    [InlineData(500, false)]
    [InlineData(503, false)]
    public async Task Which_answers_are_worth_trying_again(int status, bool isFinal)
    {
        _answer = context =>
        {
            context.Response.StatusCode = status;
            context.Response.Headers.Location = "/elsewhere";
            if (status == 503) context.Response.Headers.RetryAfter = "120";
            return Task.CompletedTask;
        };
        var failure = await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync(Way()));
        Assert.Equal(isFinal, failure.IsFinal);
        Assert.Contains($"answered {status}", failure.Message, StringComparison.Ordinal);
        Assert.Equal(status == 503 ? TimeSpan.FromMinutes(2) : null, failure.RetryAfter);
        // A redirection is not followed.
        Assert.Single(_got);
    }

    [Fact]
    public async Task A_receiver_that_is_not_there_and_a_secret_that_cannot_be_read_are_told()
    {
        var gone = await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync(Way() with { Url = new("http://127.0.0.1:1/") }));
        Assert.False(gone.IsFinal);
        Assert.StartsWith("127.0.0.1 cannot be reached: ", gone.Message, StringComparison.Ordinal);
        var secret = await Assert.ThrowsAsync<AlarmFailedException>(() => SendAsync(Way(new(_data.File("none"), null))));
        Assert.True(secret.IsFinal);
        Assert.Contains(_data.File("none"), secret.Message, StringComparison.Ordinal);
        Assert.Empty(_got);
    }

    [Fact]
    public async Task A_receiver_that_never_answers_costs_the_time_of_an_attempt_and_no_more()
    {
        var never = new TaskCompletionSource();
        _answer = _ => never.Task;
        var way = Way() with { Timeout = TimeSpan.FromSeconds(1) };
        var failure = await Assert.ThrowsAsync<AlarmFailedException>(() => AlarmLane.AttemptAsync((w, m, c) => _sender.SendAsync((AlarmWay.Webhook)w, m, c), way, Message, TimeProvider.System, TestContext.Current.CancellationToken));
        Assert.Contains("did not answer within 1 s", failure.Message, StringComparison.Ordinal);
        never.SetResult();
    }
}
