using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using SweepRig.Domain.Runs;
using SweepRig.Service.Hosting;
using SweepRig.Service.Stations;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Support;

/// <summary>A whole service on a real loopback port, with a runner of the test's own and a directory of its own.</summary>
public sealed class TestBench : IAsyncDisposable
{
    private readonly WebApplication _app;
    private readonly IReadOnlyList<FakeRunner> _runners;

    private TestBench(WebApplication app, IReadOnlyList<FakeRunner> runners, string directory)
    {
        _app = app;
        _runners = runners;
        Directory = directory;
        Url = new Uri(app.BoundUrl());
        Http = new HttpClient { BaseAddress = Url };
    }

    /// <summary>The runners of a bench without rigs, in the order of its stations.</summary>
    public IReadOnlyList<FakeRunner> Runners => _runners.Count > 0 ? _runners : throw new InvalidOperationException("This bench has real runners.");

    public FakeRunner Runner => Runners[0];

    public string Directory { get; }

    public Uri Url { get; }

    public HttpClient Http { get; }

    public IServiceProvider Services => _app.Services;

    public static Task<TestBench> StartAsync() => StartAsync([StationName.Usual(0)]);

    /// <param name="rigs">Names of its stations.</param>
    public static async Task<TestBench> StartAsync(IReadOnlyList<string> rigs)
    {
        var directory = System.IO.Directory.CreateTempSubdirectory("sweeprig-").FullName;
        FakeRunner[] runners = [.. rigs.Select(_ => new FakeRunner())];
        var app = WebHost.Build(new BenchOptions { DataDirectory = directory, Url = "http://127.0.0.1:0" }, services =>
        {
            services.RemoveAll<StationList>();
            services.AddSingleton(provider => new StationList([.. rigs.Select((name, i) => provider.GetRequiredService<StationMaker>().Around(new RigChoice(name), runners[i]))]));
        });
        await app.StartBenchAsync(TestContext.Current.CancellationToken);
        return new TestBench(app, runners, directory);
    }

    /// <summary>The whole bench as it is in life, with the simulated rig and a heater that is warm at once.</summary>
    /// <param name="postgres">Connection to a shared store; null for a file.</param>
    /// <param name="rigs">Names of its stations; none for one rig as it is by itself.</param>
    public static Task<TestBench> StartWholeAsync(string? postgres = null, params IReadOnlyList<string> rigs) => StartWholeAsync(postgres, null, rigs);

    /// <param name="adjust">Changes the services last.</param>
    public static async Task<TestBench> StartWholeAsync(string? postgres, Action<IServiceCollection>? adjust, params IReadOnlyList<string> rigs)
    {
        var directory = System.IO.Directory.CreateTempSubdirectory("sweeprig-").FullName;
        var app = WebHost.Build(new BenchOptions
        {
            DataDirectory = directory, Postgres = postgres, Url = "http://127.0.0.1:0", HeaterSpeed = 1000,
            Rigs = [.. rigs.Select((name, i) => new RigChoice(name) { HeaterSpeed = 1000, Seed = 1 + i })],
        }, adjust);
        await app.StartBenchAsync(TestContext.Current.CancellationToken);
        return new TestBench(app, [], directory);
    }

    /// <summary>Another process in the directory of one that was stopped.</summary>
    public static async Task<TestBench> StartWholeAsync(TestBench stopped)
    {
        var app = WebHost.Build(new BenchOptions { DataDirectory = stopped.Directory, Url = "http://127.0.0.1:0", HeaterSpeed = 1000 });
        await app.StartBenchAsync(TestContext.Current.CancellationToken);
        return new TestBench(app, [], stopped.Directory) { _keeps = true };
    }

    /// <summary>The directory is another's.</summary>
    private bool _keeps;

    /// <summary>Stops it as Ctrl+C does.</summary>
    public Task StopAsync() => _app.StopAsync(TestContext.Current.CancellationToken);

    public async Task<JsonNode> GetAsync(string path) =>
        JsonNode.Parse(await Http.GetStringAsync(path, TestContext.Current.CancellationToken))!;

    public async Task<HttpResponseMessage> SendAsync(string method, string path, string? json)
    {
        using var request = new HttpRequestMessage(new HttpMethod(method), path);
        if (json is not null) request.Content = new StringContent(json, Encoding.UTF8, "application/json");
        return await Http.SendAsync(request, TestContext.Current.CancellationToken);
    }

    /// <summary>The problem document of an answer (RFC 9457), with the members that every one must have.</summary>
    public static async Task<JsonNode> ProblemAsync(HttpResponseMessage answer, HttpStatusCode status)
    {
        Assert.Equal(status, answer.StatusCode);
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType!.MediaType);
        var problem = JsonNode.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken))!;
        Assert.Equal((int)status, (int)problem["status"]!);
        Assert.StartsWith("/problems/", (string?)problem["type"], StringComparison.Ordinal);
        Assert.NotEqual("", (string?)problem["title"]);
        Assert.NotEqual("", (string?)problem["detail"]);
        Assert.NotNull(problem["refusals"]);
        return problem;
    }

    /// <summary>Puts a run on record; left open for a test to end it unless a state is given.</summary>
    public async Task RecordAsync(RunHeader header, RunState? end = null, params SampleBlock[] blocks)
    {
        var cancellation = TestContext.Current.CancellationToken;
        var recording = await Services.GetRequiredService<RunStore>().BeginAsync(header, cancellation);
        if (blocks.Length > 0) await recording.AppendAsync(blocks, cancellation);
        if (end is not { } state) return;
        await recording.EndAsync(state, header.StartedUtc.AddSeconds(4), cancellation);
        await recording.DisposeAsync();
    }

    public async ValueTask DisposeAsync()
    {
        Http.Dispose();
        await _app.StopAsync(CancellationToken.None);
        await _app.DisposeAsync();
        if (!_keeps) System.IO.Directory.Delete(Directory, recursive: true);
    }
}
