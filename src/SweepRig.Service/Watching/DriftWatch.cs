using System.Collections.Concurrent;
using System.Globalization;
using System.Threading.Channels;
using SweepRig.Analysis.Drift;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Watching;

/// <summary>
/// Looks at each tube that was swept whether it, or the rail it was swept with, has changed beyond the uncertainty of the measurements (<see cref="FollowedLevel"/>), and tells it once until it has come
/// back. One task does this behind the back of the bench, one tube after another; what more than <see cref="Capacity"/> runs leave behind is looked at with the tube's next run.
/// </summary>
public sealed class DriftWatch : IAsyncDisposable
{
    public const int Capacity = 256;

    private readonly RunStore _runs;
    private readonly FigureShelf _shelf;
    private readonly IWatch _watch;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly Channel<(string Rig, RunHeader Run)> _ended = Channel.CreateBounded<(string, RunHeader)>(new BoundedChannelOptions(Capacity) { SingleReader = true });
    private readonly DriftMemory _memory = new();
    private readonly ConcurrentQueue<string> _missed = new();
    private readonly CancellationTokenSource _stopped = new();
    private readonly Task _owner;
    private int _disposed;

    public DriftWatch(RunStore runs, FigureShelf shelf, IWatch watch, TimeProvider time, ILogger<DriftWatch> logger)
    {
        (_runs, _shelf, _watch, _time, _logger) = (runs, shelf, watch, time, logger);
        _owner = Task.Run(RunAsync);
    }

    /// <summary>Takes a run that has ended. Never waits.</summary>
    public void RunEnded(string rig, RunHeader? run, RunState final)
    {
        if (final == RunState.Complete && run is { Screening: null } && !_ended.Writer.TryWrite((rig, run))) _missed.Enqueue(run.Tube.Label);
    }

    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0) return;
        _ended.Writer.TryComplete();
        await _stopped.CancelAsync();
        await _owner;
        _stopped.Dispose();
    }

    private async Task RunAsync()
    {
        try
        {
            await foreach (var (rig, run) in _ended.Reader.ReadAllAsync(_stopped.Token)) await LookAsync(rig, run);
        }
        catch (OperationCanceledException) when (_stopped.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    private async Task LookAsync(string rig, RunHeader run)
    {
        try
        {
            while (_missed.TryDequeue(out var missed)) _memory.Missed(missed);
            if (await _runs.FindAsync(run.Id, _stopped.Token) is not { } record || !TubeFigures.IsSweepIn(record, run.Plan.Connection.Kind)) return;
            var course = await CourseAsync(run);
            var levels = await _shelf.OfSweepAsync(_runs, record, _stopped.Token);
            var news = new List<(FollowedLevel Level, DriftPoint Point)>();
            foreach (var (place, followed) in FollowedLevel.All.Index())
            {
                if (course.Take(place, run, levels) is { } step && _memory.IsNews(rig, run.Tube.Label, followed, step)) news.Add((followed, step.Point));
            }
            _memory.Seen(run.Tube.Label);
            if (news.Count == 0) return;
            var label = run.Tube.Label;
            _watch.Post(BenchEvent.Of(_time.GetUtcNow(), rig, EventSeverity.Warning, EventKind.Drift,
                $"{label} since its first sweep in this circuit: {string.Join("; ", news.Select(n => string.Create(CultureInfo.InvariantCulture, $"{n.Level.Of(run).Word} changed by {FigureText.Scaled(n.Point.Change!)}, {Math.Abs(n.Point.BeyondUncertainty!.Value):0.0} times what the two measurements can be wrong together")))}.",
                $"Look at its chart with sweeprig drift {label} --of {news[0].Level.Of(run).Word}. {string.Join(' ', news.Select(n => n.Level.Advice))}") with { RunId = run.Id, Tube = label });
        }
        catch (Exception fault) when (fault is not OperationCanceledException)
        {
            // A store that is away, or a run that cannot be read: the next run of the tube is another chance.
            _memory.Missed(run.Tube.Label);
            _logger.LogWarning(LogEvents.DriftUnseen, "The drift of {Tube} was not looked at: {Fault}", run.Tube.Label, fault.Message);
        }
    }

    private async Task<TubeCourse> CourseAsync(RunHeader run)
    {
        if (_memory.Course(run) is { } known) return known;
        var recorded = await _runs.OfTubeAsync(run.Tube.Label, _stopped.Token);
        var earlier = recorded.SkipWhile(r => r.Header.Id != run.Id).Skip(1)
            .Where(r => r.Header.Tube.Section == run.Tube.Section && TubeFigures.IsSweepIn(r, run.Plan.Connection.Kind) && r.Header.Plan.Connection == run.Plan.Connection);
        var read = await TubeCourse.ReadAsync(_runs, _shelf, [.. earlier.Take(TubeDrift.MostPoints)], _stopped.Token);
        _memory.TakeUp(run, read);
        return read;
    }
}
