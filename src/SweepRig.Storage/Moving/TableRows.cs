using System.Data;
using System.Runtime.CompilerServices;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;
using SweepRig.Storage.Databases;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage.Moving;

/// <summary>Reads whole tables, on either database.</summary>
internal static class TableRows
{
    /// <summary>Begins a transaction that sees one state of the store to its end.</summary>
    public static Task<IDbContextTransaction> BeginSnapshotAsync(RunContext context, CancellationToken cancellationToken) =>
        context.Database.BeginTransactionAsync(IsolationLevel.RepeatableRead, cancellationToken);

    public static async Task<IReadOnlyList<string>> ColumnsAsync(RunContext context, string table, CancellationToken cancellationToken)
    {
        await using var command = StoreDatabase.Command(context, $"SELECT * FROM {table} LIMIT 0;");
        await using var reader = await command.ExecuteReaderAsync(cancellationToken).ConfigureAwait(false);
        return [.. Enumerable.Range(0, reader.FieldCount).Select(reader.GetName)];
    }

    /// <summary>All rows of a table in the order of its key, which every table begins with; values are long, double, string, byte[] or null.</summary>
    public static async IAsyncEnumerable<object?[]> RowsAsync(RunContext context, string table, IReadOnlyList<string> columns, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await using var command = StoreDatabase.Command(context, $"SELECT {string.Join(", ", columns)} FROM {table} ORDER BY 1, 2;", lasts: true);
        // A store may hold more than memory does.
        await using var reader = await command.ExecuteReaderAsync(CommandBehavior.SequentialAccess, cancellationToken).ConfigureAwait(false);
        while (await reader.ReadAsync(cancellationToken).ConfigureAwait(false))
        {
            var row = new object?[columns.Count];
            for (var i = 0; i < row.Length; i++) row[i] = reader.IsDBNull(i) ? null : reader.GetValue(i);
            yield return row;
        }
    }

    public static async Task<long> CountAsync(RunContext context, string sql, CancellationToken cancellationToken)
    {
        await using var command = StoreDatabase.Command(context, sql, lasts: true);
        return (long)(await command.ExecuteScalarAsync(cancellationToken).ConfigureAwait(false) ?? throw new InvalidOperationException($"SweepRig bug: no answer to {sql}"));
    }
}
