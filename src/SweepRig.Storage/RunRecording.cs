using Microsoft.Data.Sqlite;
using Microsoft.EntityFrameworkCore;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Blocks;
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
        await store.OnContextAsync(context => Task.FromResult(Insert(context, blocks, first)), cancellationToken).ConfigureAwait(false);
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

    // One prepared statement for all blocks: change tracking costs more than the row here.
    private int Insert(RunContext context, IReadOnlyList<SampleBlock> blocks, long first)
    {
        context.Database.OpenConnection();
        var connection = (SqliteConnection)context.Database.GetDbConnection();
        using var transaction = connection.BeginTransaction(deferred: false);
        using var insert = connection.CreateCommand();
        insert.Transaction = transaction;
        insert.CommandText = "INSERT INTO blocks (run, sequence, pass, frame_index, samples, data) VALUES ($run, $sequence, $pass, $frame, $samples, $data);";
        insert.Parameters.AddWithValue("$run", run);
        var sequence = insert.Parameters.Add("$sequence", SqliteType.Integer);
        var pass = insert.Parameters.Add("$pass", SqliteType.Integer);
        var frame = insert.Parameters.Add("$frame", SqliteType.Integer);
        var count = insert.Parameters.Add("$samples", SqliteType.Integer);
        var data = insert.Parameters.Add("$data", SqliteType.Blob);
        var samples = 0L;
        for (var i = 0; i < blocks.Count; i++)
        {
            var block = blocks[i];
            sequence.Value = first + i;
            pass.Value = block.Pass;
            frame.Value = block.FrameIndex;
            count.Value = block.Count;
            data.Value = BlockBlob.Encode(block);
            insert.ExecuteNonQuery();
            samples += block.Count;
        }
        using var total = connection.CreateCommand();
        total.Transaction = transaction;
        total.CommandText = "UPDATE runs SET samples = samples + $samples WHERE number = $run;";
        total.Parameters.AddWithValue("$samples", samples);
        total.Parameters.AddWithValue("$run", run);
        total.ExecuteNonQuery();
        transaction.Commit();
        return blocks.Count;
    }

    private void RequireOpen()
    {
        if (_ended) throw new InvalidOperationException($"SweepRig bug: the record of run {runId} has ended.");
    }
}
