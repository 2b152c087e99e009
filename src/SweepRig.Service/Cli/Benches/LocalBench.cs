using SweepRig.Domain;
using SweepRig.Domain.Runs;
using SweepRig.Rigs.Simulated;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Live;
using SweepRig.Service.Logic;
using SweepRig.Service.Rounds;
using SweepRig.Service.Stations;
using SweepRig.Storage;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Cli.Benches;

/// <summary>A bench in this process.</summary>
/// <param name="services">Of a started host that has a bench.</param>
/// <param name="owned">The host, when it ends with this; null when somebody else ends it.</param>
public sealed partial class LocalBench(IServiceProvider services, IHost? owned) : IBench
{
    private readonly Station _station = services.GetRequiredService<StationList>().Default;
    private readonly ISweepRunner _runner = services.GetRequiredService<StationList>().Default.Runner;
    private readonly RunStore _store = services.GetRequiredService<RunStore>();
    private readonly TimeProvider _time = services.GetRequiredService<TimeProvider>();

    public LiveFeed Feed => _runner.Feed;

    public RunStore Store => _store;

    public ISweepRunner Runner => _runner;

    /// <summary>The rig itself when it is simulated in this process; null otherwise.</summary>
    public SimulatedRig? Simulated => _station.Simulated;

    /// <summary>Of the data directory: those that the project brings, and the user's own.</summary>
    public Tubes.Catalogue.TypeCatalogue Types { get; } = services.GetRequiredService<Tubes.Catalogue.TypeCatalogue>();

    public StockStore Stock => services.GetRequiredService<StockStore>();

    /// <summary>Answers about circuits of the tubes that were swept here.</summary>
    public LogicDesk Logic => services.GetRequiredService<LogicDesk>();

    /// <summary>All recorded blocks of a run.</summary>
    public async Task<IReadOnlyList<SampleBlock>> BlocksAsync(string runId, CancellationToken cancellationToken)
    {
        List<SampleBlock> blocks = [];
        await foreach (var stored in _store.ReadBlocksAsync(runId, 0, cancellationToken)) blocks.Add(stored.Block);
        return blocks;
    }

    /// <summary>Starts a bench without a web server. What its parts would log is told by the command instead.</summary>
    /// <exception cref="BenchStartException">It cannot start; the message says why and what to do.</exception>
    /// <exception cref="Rigs.Link.RigPortException">The rig's port cannot be opened.</exception>
    public static async Task<LocalBench> StartAsync(BenchOptions options, CancellationToken cancellationToken)
    {
        var port = new PortWatch();
        var builder = Host.CreateEmptyApplicationBuilder(new() { ApplicationName = "sweeprig", ContentRootPath = AppContext.BaseDirectory });
        builder.Logging.AddBenchConsole();
        builder.Logging.AddFilter("SweepRig", LogLevel.Critical);
        builder.Logging.AddFilter("SweepRig.Sweeps", LogLevel.Critical);
        // A night that was cut short is the service's to take up.
        builder.Services.AddBench(options with { TakesUpNights = false });
        port.Around(builder.Services);
        var host = builder.Build();
        var bench = default(LocalBench);
        try
        {
            await host.StartAsync(cancellationToken);
            bench = new(host.Services, host);
            await port.ThrowIfShutAsync(TimeProvider.System, cancellationToken);
            return bench;
        }
        catch
        {
            if (bench is not null) await bench.DisposeAsync();
            else await DisposeAsync(host);
            throw;
        }
    }

    public Task<BenchView> StateAsync(CancellationToken cancellationToken) => Task.FromResult(View(_runner.State));

    public async Task<Outcome<PermitView>> GrantPermitAsync(PermitRequest request, CancellationToken cancellationToken)
    {
        var granted = await _runner.GrantPermitAsync(new(request.CeilingVolts), TimeSpan.FromSeconds(request.DurationSeconds), request.Reason, cancellationToken);
        return granted.Map(permit => BenchViews.Of(permit, _time.GetUtcNow()));
    }

    public async Task<Outcome<BenchView>> EndPermitAsync(CancellationToken cancellationToken) => (await _runner.EndPermitAsync(cancellationToken)).Map(View);

    public async Task<Outcome<BenchView>> MakeSafeAsync(string reason, CancellationToken cancellationToken) => (await _runner.MakeSafeAsync(reason, cancellationToken)).Map(View);

    public async Task<Outcome<BenchView>> AcknowledgeAsync(CancellationToken cancellationToken) => (await _runner.AcknowledgeAsync(cancellationToken)).Map(View);

    public async Task<Outcome<BenchView>> StopAsync(CancellationToken cancellationToken) => (await _runner.StopAsync(cancellationToken)).Map(View);

    public async Task<Outcome<RunView>> StartAsync(SweepRequest request, CancellationToken cancellationToken) =>
        (await _runner.StartAsync(request, cancellationToken)).Map(header => RunViews.Of(new RunRecord(header, RunState.Running, EndedUtc: null, Samples: 0, Trips: [], Gaps: [])));

    public async Task<RunView> RunAsync(string runId, CancellationToken cancellationToken) => RunViews.Of(await FindAsync(runId, cancellationToken));

    public async Task<LiveBlocksView> BlocksAsync(string runId, long from, CancellationToken cancellationToken) =>
        await BlockPages.ReadAsync(_store, (await FindAsync(runId, cancellationToken)).Header, from, cancellationToken);

    public async Task<CurvesView> CurvesAsync(string runId, CancellationToken cancellationToken) => (await ReadAsync(runId, cancellationToken)).CurvesView;

    public async Task<RunLevelsView> LevelsAsync(string runId, CancellationToken cancellationToken) => (await ReadAsync(runId, cancellationToken)).Levels();

    public Task<RoundView?> RoundAsync(CancellationToken cancellationToken) => Task.FromResult(Desk.Picture is { } picture ? RoundViewMaker.Of(picture, Desk.Since(picture)) : null);

    public async Task<Outcome<RoundView>> BeginRoundAsync(BeginRoundRequest request, CancellationToken cancellationToken)
    {
        var wish = RoundWish.Read(request);
        return wish.IsAccepted ? (await Desk.BeginAsync(wish.Value, cancellationToken)).Map(View) : Outcome<RoundView>.Refuse(wish.Refusals);
    }

    public async Task<Outcome<RoundView>> EnterRoundAsync(string text, CancellationToken cancellationToken) => (await Desk.EnterAsync(text, cancellationToken)).Map(View);

    public async Task<Outcome<RoundView>> EndRoundAsync(CancellationToken cancellationToken) => (await Desk.EndAsync(cancellationToken)).Map(View);

    public async Task<RecordedRun> ReadAsync(string runId, CancellationToken cancellationToken) =>
        await RecordedRun.ReadAsync(_store, await FindAsync(runId, cancellationToken), cancellationToken);

    public async ValueTask DisposeAsync()
    {
        if (owned is null) return;
        await owned.StopAsync(CancellationToken.None);
        await DisposeAsync(owned);
    }

    private static async Task DisposeAsync(IHost host)
    {
        // The parts of a bench are disposed asynchronously only.
        if (host is IAsyncDisposable disposable) await disposable.DisposeAsync();
        else host.Dispose();
    }

    private async Task<RunRecord> FindAsync(string runId, CancellationToken cancellationToken) =>
        await _store.FindAsync(runId, cancellationToken) ?? throw new InvalidOperationException($"SweepRig bug: run {runId} was started here and is not on record.");

    private RoundDesk Desk => _station.Round;

    private RoundView View(RoundPicture picture) => RoundViewMaker.Of(picture, Desk.Since(picture));

    private BenchView View(BenchState state) => BenchViews.Of(state, _time.GetUtcNow());
}
