using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Waiting;

namespace SweepRig.Storage;

/// <summary>The open record of one run. Holds no file handle between calls, so that giving it up costs nothing.</summary>
internal sealed class RunRecording(RunStore store, string runId, long run) : IRunRecording
{
    private long _nextSequence;
    private long _writes;
    private bool _ended;

    public string RunId => runId;

    public async ValueTask<long> AppendAsync(IReadOnlyList<SampleBlock> blocks, CancellationToken cancellationToken)
    {
        RequireOpen();
        var first = _nextSequence;
        if (blocks.Count == 0) return first;
        await WriteAsync(new RunWrite.Blocks([.. blocks.Select((block, i) => RunRows.From(run, first + i, block))]), cancellationToken).ConfigureAwait(false);
        _nextSequence = first + blocks.Count;
        return first;
    }

    public async ValueTask TripAsync(Trip trip, CancellationToken cancellationToken)
    {
        RequireOpen();
        await WriteAsync(new RunWrite.Trip(RunRows.From(run, trip)), cancellationToken).ConfigureAwait(false);
    }

    public async ValueTask GapsAsync(IReadOnlyList<Gap> gaps, CancellationToken cancellationToken)
    {
        RequireOpen();
        if (gaps.Count > 0) await WriteAsync(new RunWrite.Gaps([.. gaps.Select(gap => RunRows.From(run, gap))]), cancellationToken).ConfigureAwait(false);
    }

    public async ValueTask EndAsync(RunState state, DateTimeOffset endedUtc, CancellationToken cancellationToken)
    {
        RequireOpen();
        if (state == RunState.Running) throw new ArgumentException("SweepRig bug: a run cannot end as running.", nameof(state));
        await WriteAsync(new RunWrite.End(RunRows.Text(state), RunRows.Text(endedUtc)), cancellationToken).ConfigureAwait(false);
        _ended = true;
        store.PackLater(run);
    }

    public async ValueTask DisposeAsync()
    {
        if (_ended) return;
        _ended = true;
        await store.AbandonAsync(run, _writes).ConfigureAwait(false);
    }

    private async Task WriteAsync(RunWrite write, CancellationToken cancellationToken)
    {
        await store.WriteAsync(run, _writes, write, cancellationToken).ConfigureAwait(false);
        _writes++;
    }

    private void RequireOpen()
    {
        if (_ended) throw new InvalidOperationException($"SweepRig bug: the record of run {runId} has ended.");
    }
}
