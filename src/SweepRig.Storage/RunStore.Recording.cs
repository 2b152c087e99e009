using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Logging;
using SweepRig.Domain.Logging;
using SweepRig.Storage.Waiting;

namespace SweepRig.Storage;

/// <summary>What recordings write.</summary>
public sealed partial class RunStore
{
    /// <summary>Writes of recordings that wait for the server of a shared store, in <see cref="WaitingIn"/>; 0 for a file.</summary>
    public long Waiting => _delivery?.Waiting ?? 0;

    /// <summary>The file that keeps what waits; null for a store that is a file itself.</summary>
    public string? WaitingIn => _delivery?.File;

    /// <summary>As <see cref="Waiting"/>, also of an earlier process.</summary>
    internal long CountWaiting() => _delivery?.CountInFile() ?? 0;

    /// <summary>
    /// Brings to a shared store what an earlier process could not. To be called under the <see cref="DataDirectoryLock"/>, before
    /// <see cref="MarkInterruptedAsync"/>: a run whose end waits did end.
    /// </summary>
    /// <returns>How many writes there were.</returns>
    public Task<long> DeliverWaitingAsync(CancellationToken cancellationToken) => _delivery?.DeliverAsync(cancellationToken) ?? Task.FromResult(0L);

    /// <summary>Does one write of a run. Durable when it returns: in the store, or in the file of what waits for its server.</summary>
    /// <param name="ordinal">How many writes of the run were before.</param>
    internal Task WriteAsync(long run, long ordinal, RunWrite write, CancellationToken cancellationToken) =>
        _delivery?.WriteAsync(run, ordinal, write, cancellationToken) ?? ApplyAsync(run, ordinal, write, cancellationToken);

    /// <summary>For a recording that is given up without an end. Never throws: its caller is already unwinding from a fault.</summary>
    internal async Task AbandonAsync(long run, long writes)
    {
        var ended = RunRows.Text(_clock.GetUtcNow());
        try
        {
            await WriteAsync(run, writes, new RunWrite.End(RunRows.Incomplete, ended), CancellationToken.None).ConfigureAwait(false);
            PackLater(run);
        }
        catch (RunStoreException fault)
        {
            _unmarked[run] = ended;
            _logger.LogError(LogEvents.RunNotMarked, fault, "A run could not be marked incomplete; it will be with the next run or at the next start");
        }
    }

    /// <summary>Has the blocks of an ended run packed soon; at the latest before the store is closed.</summary>
    internal void PackLater(long run) => _toPack.Writer.TryWrite(run);

    private async Task PackEndedAsync()
    {
        await foreach (var run in _toPack.Reader.ReadAllAsync().ConfigureAwait(false))
            if (Waiting == 0) await PackAsync(run).ConfigureAwait(false);
    }

    /// <summary>Packs the blocks of an ended run. One that cannot be packed stays as it was recorded, and is read all the same.</summary>
    internal async Task PackAsync(long run)
    {
        try
        {
            await OnContextAsync(
                async context =>
                {
                    await RunPacker.PackAsync(context, run, CancellationToken.None).ConfigureAwait(false);
                    return true;
                },
                CancellationToken.None).ConfigureAwait(false);
        }
        catch (Exception fault) when (fault is RunStoreException or InvalidDataException)
        {
            _logger.LogInformation(LogEvents.RunNotPacked, fault, "The blocks of an ended run stay as they were recorded");
        }
    }

    private Task<bool> ApplyAsync(long run, long ordinal, RunWrite write, CancellationToken cancellationToken) => OnContextAsync(
        async context =>
        {
            await using var transaction = await context.Database.BeginTransactionAsync(cancellationToken).ConfigureAwait(false);
            var row = context.Runs.Where(r => r.Number == run && r.Writes == ordinal);
            var next = ordinal + 1;
            var taken = write switch
            {
                RunWrite.Blocks { Rows: var rows } when rows.Sum(r => (long)r.Samples) is var samples =>
                    await row.ExecuteUpdateAsync(set => set.SetProperty(r => r.Writes, next).SetProperty(r => r.Samples, r => r.Samples + samples), cancellationToken).ConfigureAwait(false),
                RunWrite.End end =>
                    await row.ExecuteUpdateAsync(set => set.SetProperty(r => r.Writes, next).SetProperty(r => r.State, end.State).SetProperty(r => r.Ended, end.At), cancellationToken).ConfigureAwait(false),
                _ => await row.ExecuteUpdateAsync(set => set.SetProperty(r => r.Writes, next), cancellationToken).ConfigureAwait(false),
            };
            if (taken == 0)
            {
                // Done before, when the server went away between doing it and saying so.
                if (await context.Runs.AnyAsync(r => r.Number == run && r.Writes > ordinal, cancellationToken).ConfigureAwait(false)) return true;
                throw new RunStoreException(
                    Name, $"write {ordinal} of run number {run} has no place there.", WaitingIn is { } file ? $"The store is not the one that the run was begun in. Move {file} away to go on without it." : "Restore the store from a backup.");
            }
            switch (write)
            {
                case RunWrite.Blocks blocks:
                    await _database.InsertBlocksAsync(context, run, blocks.Rows, cancellationToken).ConfigureAwait(false);
                    break;
                // A number that an earlier try was given and lost is not to be used again.
                case RunWrite.Trip trip:
                    trip.Row.Number = 0;
                    context.Trips.Add(trip.Row);
                    break;
                case RunWrite.Gaps gaps:
                    foreach (var gap in gaps.Rows) gap.Number = 0;
                    context.Gaps.AddRange(gaps.Rows);
                    break;
                default:
                    break;
            }
            await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
            await transaction.CommitAsync(CancellationToken.None).ConfigureAwait(false);
            return true;
        },
        cancellationToken);
}
