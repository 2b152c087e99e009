using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.DependencyInjection.Extensions;
using SweepRig.Domain.Runs;
using SweepRig.Service.Hosting;
using SweepRig.Storage;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Support;

/// <summary>A whole service on a real loopback port, with a runner of the test's own and a directory of its own.</summary>
public sealed class TestBench : IAsyncDisposable
{
    private readonly WebApplication _app;

    private TestBench(WebApplication app, FakeRunner runner, string directory)
    {
        _app = app;
        Runner = runner;
        Directory = directory;
        Url = new Uri(app.BoundUrl());
        Http = new HttpClient { BaseAddress = Url };
    }

    public FakeRunner Runner { get; }

    public string Directory { get; }

    public Uri Url { get; }

    public HttpClient Http { get; }

    public IServiceProvider Services => _app.Services;

    public static async Task<TestBench> StartAsync()
    {
        var directory = System.IO.Directory.CreateTempSubdirectory("sweeprig-").FullName;
        var runner = new FakeRunner();
        var app = WebHost.Build(new BenchOptions { DataDirectory = directory, Url = "http://127.0.0.1:0" }, services =>
        {
            services.RemoveAll<ISweepRunner>();
            services.AddSingleton<ISweepRunner>(runner);
        });
        await app.StartBenchAsync(TestContext.Current.CancellationToken);
        return new TestBench(app, runner, directory);
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
        await _app.DisposeAsync();
        System.IO.Directory.Delete(Directory, recursive: true);
    }
}
