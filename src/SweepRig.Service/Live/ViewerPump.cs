using SweepRig.Domain.Logging;
using SweepRig.Domain.Runs;
using SweepRig.Service.Contract;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Live;

/// <summary>
/// Carries the feed to one viewer, one message at a time, each awaited until the connection has taken it. A viewer that does not read stops its
/// own pump alone; its buffer in the feed fills and skips, with the count sent along. Blocks that wait are sent together.
/// </summary>
public sealed class ViewerPump
{
    private readonly IBenchViewer _viewer;
    private readonly ISweepRunner _runner;
    private readonly RunHeaders _headers;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly LiveViewer _feed;
    private readonly BenchThrottle _throttle;
    private readonly BlockBatch _batch = new();
    private string? _startedRunId;

    /// <summary>Subscribes at once; <see cref="RunAsync"/> must follow, which unsubscribes.</summary>
    public ViewerPump(IBenchViewer viewer, ISweepRunner runner, RunHeaders headers, TimeProvider time, ILogger logger)
    {
        (_viewer, _runner, _headers, _time, _logger) = (viewer, runner, headers, time, logger);
        _throttle = new BenchThrottle(time);
        _feed = runner.Feed.Subscribe();
    }

    public async Task RunAsync(CancellationToken connectionEnds)
    {
        using var feed = _feed;
        try
        {
            await GreetAsync(connectionEnds);
            await PumpAsync(connectionEnds);
        }
        catch (OperationCanceledException) when (connectionEnds.IsCancellationRequested)
        {
            // The viewer left.
        }
        catch (Exception fault)
        {
            // Nobody awaits a pump: without this line a bug in it would show as a page that stands still.
            _logger.LogError(LogEvents.ViewerFailed, fault, "SweepRig bug: a viewer is no longer served");
        }
    }

    /// <summary>A viewer that joins sees the bench, and the run under way, before anything else.</summary>
    private async Task GreetAsync(CancellationToken cancellationToken)
    {
        var state = _runner.State;
        await SendAsync(state);
        if (state.Run is { } run && await _headers.FindAsync(run.RunId, cancellationToken) is { } header) await SendStartAsync(header);
    }

    private async Task PumpAsync(CancellationToken cancellationToken)
    {
        var updates = _feed.ReadAllAsync(cancellationToken).GetAsyncEnumerator(cancellationToken);
        var next = updates.MoveNextAsync();
        while (true)
        {
            // While more is waiting, blocks are gathered; once the feed is drained, or something else comes, they go out.
            if (!next.IsCompleted) await FlushAsync();
            if (!await next) return;
            await TakeAsync(updates.Current, cancellationToken);
            next = updates.MoveNextAsync();
        }
    }

    private async Task TakeAsync(LiveUpdate update, CancellationToken cancellationToken)
    {
        if (update is LiveUpdate.Block block)
        {
            if (_batch.TryAdd(block)) return;
            await FlushAsync();
            _batch.TryAdd(block);
            return;
        }
        await FlushAsync();
        switch (update)
        {
            case LiveUpdate.State state:
                await SendAsync(state.Bench);
                break;
            case LiveUpdate.RunStarted started:
                _headers.Keep(started.Header);
                await SendStartAsync(started.Header);
                break;
            case LiveUpdate.PassEnded ended:
                await _viewer.PassEnded(new PassEndedView(ended.RunId, BenchViews.Of(ended.Pass)));
                break;
            case LiveUpdate.RunEnded ended:
                await _viewer.RunEnded(new RunEndedView(ended.RunId, BenchViews.Word(ended.Final)));
                break;
            case LiveUpdate.RoundChanged changed:
                await _viewer.RoundChanged(new RoundChangedView(changed.Version));
                break;
            case LiveUpdate.NightChanged changed:
                await _viewer.NightChanged(new NightChangedView(changed.Version));
                break;
            case LiveUpdate.Missed:
                // Hours behind: greeted anew, it learns of the run under way, and its count of skipped blocks tells it to fetch.
                await GreetAsync(cancellationToken);
                break;
            default:
                throw new InvalidOperationException($"SweepRig bug: no message for {update.GetType().Name}.");
        }
    }

    private async Task FlushAsync()
    {
        if (_batch.IsEmpty) return;
        await _viewer.BlockArrived(_batch.Take(_feed.Skipped));
    }

    private Task SendAsync(BenchState state)
    {
        var view = BenchViews.Of(state, _time.GetUtcNow());
        return _throttle.IsDue(view) ? _viewer.BenchChanged(view) : Task.CompletedTask;
    }

    private Task SendStartAsync(RunHeader header)
    {
        // The greeting and the feed can both tell of the same start.
        if (_startedRunId == header.Id) return Task.CompletedTask;
        _startedRunId = header.Id;
        return _viewer.RunStarted(RunViews.Started(header));
    }
}
