using System.Collections.Concurrent;
using System.Net;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>A web server on a loopback port that keeps the JSON documents that are posted to it.</summary>
public sealed class WebhookReceiver : IAsyncDisposable
{
    private readonly ConcurrentQueue<JsonNode> _posts = new();
    private readonly WebApplication _app;

    private WebhookReceiver()
    {
        var builder = WebApplication.CreateEmptyBuilder(new());
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel => kestrel.Listen(IPAddress.Loopback, 0));
        _app = builder.Build();
        _app.Run(async context =>
        {
            if (await JsonNode.ParseAsync(context.Request.Body) is { } post) _posts.Enqueue(post);
            context.Response.StatusCode = StatusCodes.Status204NoContent;
        });
    }

    public string Url => _app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.Single();

    /// <summary>In the order in which they came.</summary>
    public IReadOnlyList<JsonNode> Posts => [.. _posts];

    public static async Task<WebhookReceiver> ListenAsync()
    {
        var receiver = new WebhookReceiver();
        await receiver._app.StartAsync();
        return receiver;
    }

    public ValueTask DisposeAsync() => _app.DisposeAsync();
}
