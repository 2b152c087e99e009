using Microsoft.EntityFrameworkCore;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <summary>The open record of one run. Holds no file handle between calls, so that giving it up costs nothing.</summary>
internal sealed class RunRecording(RunStore store, string runId, long run) : IRunRecording
{
    private long _nextSequence;
    private bool _ended;

    public string RunId => runId;

    public async ValueTask<long> AppendAsync(IReadOnlyList<SampleBlock> blocks, CancellationToken cancellationToken)
    {
        RequireOpen();
        var first = _nextSequence;
        if (blocks.Count == 0) return first;
        BlockRow[] rows = [.. blocks.Select((block, i) => RunRows.From(run, first + i, block))];
        var samples = rows.Sum(r => (long)r.Samples);
        await store.OnContextAsync(
            async context =>
            {
                await using var transaction = await context.Database.BeginTransactionAsync(cancellationToken).ConfigureAwait(false);
                await store.Database.InsertBlocksAsync(context, run, rows, cancellationToken).ConfigureAwait(false);
                await context.Runs.Where(r => r.Number == run).ExecuteUpdateAsync(set => set.SetProperty(r => r.Samples, r => r.Samples + samples), cancellationToken).ConfigureAwait(false);
                await transaction.CommitAsync(CancellationToken.None).ConfigureAwait(false);
                return true;
            },
            cancellationToken).ConfigureAwait(false);
        _nextSequence = first + blocks.Count;
        return first;
    }

    public async ValueTask TripAsync(Trip trip, CancellationToken cancellationToken)
    {
        RequireOpen();
        await store.OnContextAsync(
            context =>
            {
                context.Trips.Add(RunRows.From(run, trip));
                return context.SaveChangesAsync(cancellationToken);
            },
            cancellationToken).ConfigureAwait(false);
    }

    public async ValueTask GapsAsync(IReadOnlyList<Gap> gaps, CancellationToken cancellationToken)
    {
        RequireOpen();
        if (gaps.Count == 0) return;
        await store.OnContextAsync(
            context =>
            {
                context.Gaps.AddRange(gaps.Select(gap => RunRows.From(run, gap)));
                return context.SaveChangesAsync(cancellationToken);
            },
            cancellationToken).ConfigureAwait(false);
    }

    public async ValueTask EndAsync(RunState state, DateTimeOffset endedUtc, CancellationToken cancellationToken)
    {
        RequireOpen();
        if (state == RunState.Running) throw new ArgumentException("SweepRig bug: a run cannot end as running.", nameof(state));
        var (word, ended) = (RunRows.Text(state), RunRows.Text(endedUtc));
        await store.OnContextAsync(
            context => context.Runs
                .Where(r => r.Number == run)
                .ExecuteUpdateAsync(set => set.SetProperty(r => r.State, word).SetProperty(r => r.Ended, ended), cancellationToken),
            cancellationToken).ConfigureAwait(false);
        _ended = true;
    }

    public async ValueTask DisposeAsync()
    {
        if (_ended) return;
        _ended = true;
        await store.AbandonAsync(run).ConfigureAwait(false);
    }

    private void RequireOpen()
    {
        if (_ended) throw new InvalidOperationException($"SweepRig bug: the record of run {runId} has ended.");
    }
}
