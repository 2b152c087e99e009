using System.Data.Common;
using System.Runtime.CompilerServices;
using Microsoft.Data.Sqlite;
using Microsoft.EntityFrameworkCore.Diagnostics;
using SQLitePCL;

namespace SweepRig.Storage.Schema;

/// <summary>Settings that SQLite keeps for each connection and not in the file.</summary>
/// <param name="maxPages">Largest size of the file in pages; null for what the disk gives.</param>
internal sealed class ConnectionSettings(int? maxPages) : DbConnectionInterceptor
{
    // FULL: a commit in the write-ahead log is on the disk before it returns (https://www.sqlite.org/pragma.html#pragma_synchronous).
    // Temporary tables stay in memory, so that a full temporary directory cannot fail a recording.
    private readonly string _sql = "PRAGMA synchronous = FULL; PRAGMA busy_timeout = 5000; PRAGMA foreign_keys = ON; PRAGMA temp_store = MEMORY;" +
        (maxPages is { } pages ? $" PRAGMA max_page_count = {pages};" : "");

    // A connection out of the pool has its settings still.
    private readonly ConditionalWeakTable<sqlite3, string> _set = [];

    public override void ConnectionOpened(DbConnection connection, ConnectionEndEventData eventData) => Apply(connection);

    public override Task ConnectionOpenedAsync(DbConnection connection, ConnectionEndEventData eventData, CancellationToken cancellationToken = default)
    {
        Apply(connection);
        return Task.CompletedTask;
    }

    private void Apply(DbConnection connection)
    {
        var handle = ((SqliteConnection)connection).Handle!;
        if (_set.TryGetValue(handle, out _)) return;
        using var command = connection.CreateCommand();
        command.CommandText = _sql;
        command.ExecuteNonQuery();
        _set.AddOrUpdate(handle, _sql);
    }
}
