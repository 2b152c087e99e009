using System.Threading.Channels;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Watching;
using SweepRig.Service.Live;
using SweepRig.Service.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Watching;

/// <summary>
/// Looks at each tube that was swept whether its switching drive has changed beyond uncertainty, and tells it once until it has come back. One task does this behind the back of the bench, one tube after
/// another; what more than <see cref="Capacity"/> runs leave behind is looked at with the tube's next run.
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
    private readonly HashSet<(string Tube, string Quantity)> _changed = [];
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
        if (final == RunState.Complete && run is { Screening: null }) _ended.Writer.TryWrite((rig, run));
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
            var word = $"{BenchViews.Word(run.Plan.Connection.Kind)}.switching-drive";
            if (StockQuantities.Find(word, "") is not { IsAccepted: true } quantity) return;
            var drift = await TubeDrift.ReadAsync(_runs, _shelf, run.Tube.Label, quantity.Value, TubeDrift.UsualWeight, null, _stopped.Token);
            var key = (run.Tube.Label, word);
            if (!drift.IsAccepted || !drift.Value.Changed)
            {
                _changed.Remove(key);
                return;
            }
            if (!_changed.Add(key)) return;
            _watch.Post(BenchEvent.Of(_time.GetUtcNow(), rig, EventSeverity.Warning, EventKind.Drift, $"{run.Tube.Label}, {word}: {drift.Value.Says[0]}", $"Look at its chart with sweeprig drift {run.Tube.Label} --of {word}, and sweep it once more before you use it.") with { RunId = run.Id, Tube = run.Tube.Label });
        }
        catch (Exception fault) when (fault is not OperationCanceledException)
        {
            // A store that is away, or a run that cannot be read: the next run of the tube is another chance.
            _logger.LogWarning(LogEvents.DriftUnseen, "The drift of {Tube} was not looked at: {Fault}", run.Tube.Label, fault.Message);
        }
    }
}
