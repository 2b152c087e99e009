using Microsoft.Data.Sqlite;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;
using SweepRig.Storage.Moving;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage.Databases;

/// <summary>
/// One file. The version is kept in its user_version and the owner in its application_id (https://www.sqlite.org/fileformat2.html, 1.3.13 and 1.3.15).
/// </summary>
internal sealed class SqliteDatabase : StoreDatabase
{
    /// <summary>"SwRg" in ASCII.</summary>
    public const int ApplicationId = 0x53775267;

    private readonly string _connectionString;

    public SqliteDatabase(string file, int? maxPages)
        : this(file, new SqliteConnectionStringBuilder { DataSource = file, DefaultTimeout = 10 }.ToString(), maxPages)
    {
    }

    // A list goes over as one parameter: as one for each of its members every length would have a statement of its own, which is kept, and which SQLite looks through for each name.
    private SqliteDatabase(string file, string connectionString, int? maxPages)
        : base(new DbContextOptionsBuilder<RunContext>().UseSqlite(connectionString, s => s.UseParameterizedCollectionMode(ParameterTranslationMode.Parameter)).AddInterceptors(new ConnectionSettings(maxPages)).Options) =>
        (Name, _connectionString) = (file, connectionString);

    public override string Name { get; }

    public override Task OpenAsync(RunContext context, CancellationToken cancellationToken) => context.Database.OpenConnectionAsync(cancellationToken);

    public override Task PrepareAsync(RunContext context, CancellationToken cancellationToken)
    {
        var connection = (SqliteConnection)context.Database.GetDbConnection();
        if (VersionOf(connection) < StoreSchema.Latest)
        {
            // BEGIN IMMEDIATE, then looked at again: another process may have been quicker.
            using var transaction = connection.BeginTransaction(deferred: false);
            for (var version = (int)VersionOf(connection); version < StoreSchema.Latest; version++) Execute(connection, StoreSchema.Steps[version]);
            Execute(connection, $"PRAGMA application_id = {ApplicationId}; PRAGMA user_version = {StoreSchema.Latest};");
            transaction.Commit();
        }

        // Readers of other processes must not stop the recording, nor it them: https://www.sqlite.org/wal.html
        using var journal = connection.CreateCommand();
        journal.CommandText = "PRAGMA journal_mode = WAL;";
        if (journal.ExecuteScalar() is var mode && mode is not "wal")
            throw new RunStoreException(Name, $"this disk cannot hold a write-ahead log (journal mode stays '{mode}').", "Choose a data directory on a local disk.");
        return Task.CompletedTask;
    }

    public override Task<long> VersionAsync(RunContext context, CancellationToken cancellationToken) => Task.FromResult(VersionOf((SqliteConnection)context.Database.GetDbConnection()));

    // SQLite begins a transaction as a writer, and there is one writer at a time.
    public override Task<IDbContextTransaction> BeginTurnAsync(RunContext context, CancellationToken cancellationToken) => context.Database.BeginTransactionAsync(cancellationToken);

    public override Task InsertBlocksAsync(RunContext context, long run, IReadOnlyList<BlockRow> blocks, CancellationToken cancellationToken)
    {
        var connection = (SqliteConnection)context.Database.GetDbConnection();
        using var insert = connection.CreateCommand();
        insert.Transaction = (SqliteTransaction?)context.Database.CurrentTransaction?.GetDbTransaction();
        insert.CommandText = "INSERT INTO blocks (run, sequence, pass, frame_index, samples, data) VALUES ($run, $sequence, $pass, $frame, $samples, $data);";
        insert.Parameters.AddWithValue("$run", run);
        var sequence = insert.Parameters.Add("$sequence", SqliteType.Integer);
        var pass = insert.Parameters.Add("$pass", SqliteType.Integer);
        var frame = insert.Parameters.Add("$frame", SqliteType.Integer);
        var count = insert.Parameters.Add("$samples", SqliteType.Integer);
        var data = insert.Parameters.Add("$data", SqliteType.Blob);
        foreach (var block in blocks)
        {
            (sequence.Value, pass.Value, frame.Value, count.Value, data.Value) = (block.Sequence, block.Pass, block.FrameIndex, block.Samples, block.Data);
            insert.ExecuteNonQuery();
        }
        return Task.CompletedTask;
    }

    public override async Task LoadAsync(RunContext context, string table, IReadOnlyList<string> columns, IAsyncEnumerable<object?[]> rows, CancellationToken cancellationToken)
    {
        await using var insert = (SqliteCommand)Command(
            context, $"INSERT INTO {table} ({string.Join(", ", columns)}) VALUES ({string.Join(", ", columns.Select((_, i) => $"${i}"))});");
        var values = columns.Select((_, i) => insert.Parameters.Add(new SqliteParameter($"${i}", null))).ToArray();
        await foreach (var row in rows.ConfigureAwait(false))
        {
            for (var i = 0; i < values.Length; i++) values[i].Value = row[i] ?? DBNull.Value;
            insert.ExecuteNonQuery();
        }
    }

    public override Task<long> BytesAsync(RunContext context, CancellationToken cancellationToken) =>
        TableRows.CountAsync(context, "SELECT page_count * page_size FROM pragma_page_count, pragma_page_size;", cancellationToken);

    public override RunStoreException? Explain(Exception fault) => Cause<SqliteException>(fault) is { } cause ? RunStoreException.From(cause, Name) : null;

    public override ValueTask DisposeAsync()
    {
        using var connection = new SqliteConnection(_connectionString);
        SqliteConnection.ClearPool(connection);
        return ValueTask.CompletedTask;
    }

    private long VersionOf(SqliteConnection connection)
    {
        // One statement, and so one state of the file: another process may be making it.
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT application_id, user_version, (SELECT count(*) FROM sqlite_schema) FROM pragma_application_id, pragma_user_version;";
        using var row = command.ExecuteReader();
        if (!row.Read()) throw new InvalidOperationException("SweepRig bug: a file has no version.");
        var (owner, version, tables) = (row.GetInt64(0), row.GetInt64(1), row.GetInt64(2));
        if (owner != ApplicationId && (owner != 0 || version != 0 || tables != 0)) throw OfAnother();
        return version > StoreSchema.Latest ? throw Newer(version) : version;
    }

    private static void Execute(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }
}
