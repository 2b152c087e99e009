using System.Runtime.CompilerServices;
using SweepRig.Domain;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage.Moving;

/// <summary>A table as it was copied.</summary>
/// <param name="Hash">SHA-256 of its content, the same at both ends.</param>
public sealed record MovedTable(string Name, long Rows, string Hash);

/// <summary>
/// Copies all that a store holds into an empty one, on whichever database, and reads it back before anything counts: runs, blocks, trips, gaps, calibrations,
/// lots, tubes and their history, row by row. The target takes all or nothing, and the source is only read.
/// </summary>
public static class StoreMove
{
    /// <param name="moved">Told of each table once it is copied and equal.</param>
    /// <returns>The tables; or why not: the target is not empty, or a bench records into the source. Then nothing has changed.</returns>
    /// <exception cref="RunStoreException">A store failed, or what was read back differs. Nothing has changed.</exception>
    public static Task<Outcome<IReadOnlyList<MovedTable>>> RunAsync(RunStore from, RunStore to, Action<MovedTable>? moved, CancellationToken cancellationToken) =>
        from.OnContextAsync(
            async source =>
            {
                await using var reading = await TableRows.BeginSnapshotAsync(source, cancellationToken).ConfigureAwait(false);
                return await to.InTurnAsync(target => CopyAsync(from, source, to, target, moved, cancellationToken), cancellationToken).ConfigureAwait(false);
            },
            cancellationToken);

    private static async Task<(Outcome<IReadOnlyList<MovedTable>> Result, bool Keep)> CopyAsync(
        RunStore from, RunContext source, RunStore to, RunContext target, Action<MovedTable>? moved, CancellationToken cancellationToken)
    {
        if (await FaultAsync(from, source, to, target, cancellationToken).ConfigureAwait(false) is { } fault) return (Outcome<IReadOnlyList<MovedTable>>.Refuse(fault), false);
        var tables = new List<MovedTable>();
        foreach (var table in StoreTables.All)
        {
            using var hash = new TableHash();
            var columns = await TableRows.ColumnsAsync(source, table, cancellationToken).ConfigureAwait(false);
            await to.Database.LoadAsync(target, table, columns, Hashed(TableRows.RowsAsync(source, table, columns, cancellationToken), hash, cancellationToken), cancellationToken).ConfigureAwait(false);
            var (rows, there) = (hash.Rows, hash.Finish());
            using var back = new TableHash();
            await foreach (var row in TableRows.RowsAsync(target, table, columns, cancellationToken).ConfigureAwait(false)) back.Add(row);
            if (back.Rows != rows || back.Finish() != there)
                throw new RunStoreException(to.Name, $"table {table} reads back with {back.Rows} rows that are not the {rows} that were written.", $"Nothing was moved, and {from.Name} is as it was. Check that disk, then try again.");
            tables.Add(new(table, rows, there));
            moved?.Invoke(tables[^1]);
        }
        return (Outcome<IReadOnlyList<MovedTable>>.Accept(tables), true);
    }

    private static async Task<Refusal?> FaultAsync(RunStore from, RunContext source, RunStore to, RunContext target, CancellationToken cancellationToken)
    {
        foreach (var table in StoreTables.All)
        {
            if (await TableRows.CountAsync(target, $"SELECT count(*) FROM {table};", cancellationToken).ConfigureAwait(false) is > 0 and var rows)
                return new("store-not-empty", "", $"all of {from.Name} is to go into {to.Name}", $"that has {rows} rows in its table {table} already, and only an empty store takes another", "Name an empty database or data directory.");
        }
        return await TableRows.CountAsync(source, "SELECT count(*) FROM runs WHERE state = 'running';", cancellationToken).ConfigureAwait(false) is > 0 and var running
            ? new("store-in-use", "", $"{from.Name} is to be moved", $"{running} runs in it are being recorded, or were left open", "Wait until they end. A run that was left open is closed when its bench starts again.")
            : null;
    }

    private static async IAsyncEnumerable<object?[]> Hashed(IAsyncEnumerable<object?[]> rows, TableHash hash, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await foreach (var row in rows.WithCancellation(cancellationToken).ConfigureAwait(false))
        {
            hash.Add(row);
            yield return row;
        }
    }
}
