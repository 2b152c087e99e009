using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;
using Npgsql;
using NpgsqlTypes;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage.Databases;

/// <summary>
/// A database on a PostgreSQL server, shared by any number of benches. The version is kept in a table of its own; the tables are in the schema that the
/// connection finds first, public as a rule.
/// </summary>
internal sealed class PostgresDatabase : StoreDatabase
{
    // Keys of advisory locks (https://www.postgresql.org/docs/current/explicit-locking.html, 13.3.5): "SwRg", then what is locked.
    private const long SchemaKey = (0x53775267L << 32) + 1;
    private const long TurnKey = (0x53775267L << 32) + 2;

    private readonly NpgsqlDataSource _source;

    public PostgresDatabase(PostgresAddress address)
        : this(address.Name, NpgsqlDataSource.Create(address.Settings))
    {
    }

    private PostgresDatabase(string name, NpgsqlDataSource source)
        : base(new DbContextOptionsBuilder<RunContext>().UseNpgsql(source).Options) => (Name, _source) = (name, source);

    public override string Name { get; }

    public override async Task OpenAsync(RunContext context, CancellationToken cancellationToken)
    {
        for (var again = false; ; again = true)
        {
            try
            {
                await context.Database.OpenConnectionAsync(cancellationToken).ConfigureAwait(false);
                // A pooled connection does not know that the server was started again meanwhile. Asked now, nothing is lost by it.
                await ExecuteAsync(context, "SELECT 1;", cancellationToken).ConfigureAwait(false);
                return;
            }
            catch (Exception fault) when (!again && Explain(fault) is { IsAway: true })
            {
                await context.Database.CloseConnectionAsync().ConfigureAwait(false);
                _source.Clear();
            }
        }
    }

    public override async Task PrepareAsync(RunContext context, CancellationToken cancellationToken)
    {
        if (await VersionOfAsync(context, cancellationToken).ConfigureAwait(false) >= StoreSchema.Latest) return;
        await using var transaction = await context.Database.BeginTransactionAsync(cancellationToken).ConfigureAwait(false);
        await LockAsync(context, SchemaKey, cancellationToken).ConfigureAwait(false);
        var version = await VersionOfAsync(context, cancellationToken).ConfigureAwait(false);
        if (version == 0) await ExecuteAsync(context, "CREATE TABLE sweeprig_store (version BIGINT NOT NULL); INSERT INTO sweeprig_store VALUES (0);", cancellationToken).ConfigureAwait(false);
        for (; version < StoreSchema.Latest; version++) await ExecuteAsync(context, PostgresWords.Of(StoreSchema.Steps[version]), cancellationToken, lasts: true).ConfigureAwait(false);
        await ExecuteAsync(context, $"UPDATE sweeprig_store SET version = {StoreSchema.Latest};", cancellationToken).ConfigureAwait(false);
        await transaction.CommitAsync(CancellationToken.None).ConfigureAwait(false);
    }

    public override async Task<long> VersionAsync(RunContext context, CancellationToken cancellationToken) => await VersionOfAsync(context, cancellationToken).ConfigureAwait(false);

    public override async Task<IDbContextTransaction> BeginTurnAsync(RunContext context, CancellationToken cancellationToken)
    {
        var transaction = await context.Database.BeginTransactionAsync(cancellationToken).ConfigureAwait(false);
        await LockAsync(context, TurnKey, cancellationToken).ConfigureAwait(false);
        return transaction;
    }

    public override async Task InsertBlocksAsync(RunContext context, long run, IReadOnlyList<BlockRow> blocks, CancellationToken cancellationToken)
    {
        var connection = (NpgsqlConnection)context.Database.GetDbConnection();
        // All in one round trip.
        await using var insert = new NpgsqlCommand(
            """
            INSERT INTO blocks (run, sequence, pass, frame_index, samples, data)
            SELECT $1, * FROM unnest($2, $3, $4, $5, $6);
            """,
            connection,
            (NpgsqlTransaction?)context.Database.CurrentTransaction?.GetDbTransaction());
        insert.Parameters.Add(new() { Value = run });
        insert.Parameters.Add(new() { Value = Column(b => b.Sequence) });
        insert.Parameters.Add(new() { Value = Column(b => b.Pass) });
        insert.Parameters.Add(new() { Value = Column(b => b.FrameIndex) });
        insert.Parameters.Add(new() { Value = Column(b => b.Samples) });
        insert.Parameters.Add(new() { Value = blocks.Select(b => b.Data).ToArray(), NpgsqlDbType = NpgsqlDbType.Array | NpgsqlDbType.Bytea });
        await insert.ExecuteNonQueryAsync(cancellationToken).ConfigureAwait(false);

        long[] Column(Func<BlockRow, long> value) => [.. blocks.Select(value)];
    }

    public override async Task LoadAsync(RunContext context, string table, IReadOnlyList<string> columns, IAsyncEnumerable<object?[]> rows, CancellationToken cancellationToken)
    {
        var connection = (NpgsqlConnection)context.Database.GetDbConnection();
        await using (var copy = await connection.BeginBinaryImportAsync($"COPY {table} ({string.Join(", ", columns)}) FROM STDIN (FORMAT BINARY)", cancellationToken).ConfigureAwait(false))
        {
            await foreach (var row in rows.ConfigureAwait(false))
            {
                await copy.StartRowAsync(cancellationToken).ConfigureAwait(false);
                foreach (var value in row)
                {
                    if (value is null) await copy.WriteNullAsync(cancellationToken).ConfigureAwait(false);
                    else await copy.WriteAsync(value, TypeOf(value), cancellationToken).ConfigureAwait(false);
                }
            }
            await copy.CompleteAsync(cancellationToken).ConfigureAwait(false);
        }
        if (columns[0] == "number")
            await ExecuteAsync(context, $"SELECT setval(pg_get_serial_sequence('{table}', 'number'), coalesce((SELECT max(number) FROM {table}), 0) + 1, false);", cancellationToken).ConfigureAwait(false);
    }

    public override Task<long> BytesAsync(RunContext context, CancellationToken cancellationToken) => ScalarAsync<long>(
        context, "SELECT coalesce(sum(pg_total_relation_size(c.oid)), 0)::bigint FROM pg_class c WHERE c.relkind = 'r' AND c.relnamespace = current_schema()::regnamespace;", cancellationToken);

    public override RunStoreException? Explain(Exception fault) => PostgresFaults.Explain(fault, Name, _source);

    public override ValueTask DisposeAsync() => _source.DisposeAsync();

    private async Task<int> VersionOfAsync(RunContext context, CancellationToken cancellationToken)
    {
        // One statement, and so one state of the database: another bench may be making the tables.
        var tables = await ScalarAsync<string>(
            context, "SELECT CASE WHEN bool_or(tablename = 'sweeprig_store') THEN 'ours' WHEN count(*) = 0 THEN 'none' ELSE 'others' END FROM pg_tables WHERE schemaname = current_schema();", cancellationToken).ConfigureAwait(false);
        if (tables == "none") return 0;
        if (tables == "others") throw OfAnother();
        var version = await ScalarAsync<long>(context, "SELECT version FROM sweeprig_store;", cancellationToken).ConfigureAwait(false);
        return version > StoreSchema.Latest ? throw Newer(version) : (int)version;
    }

    private static Task LockAsync(RunContext context, long key, CancellationToken cancellationToken) => ExecuteAsync(context, $"SELECT pg_advisory_xact_lock({key});", cancellationToken);

    private static async Task ExecuteAsync(RunContext context, string sql, CancellationToken cancellationToken, bool lasts = false)
    {
        await using var command = Command(context, sql, lasts);
        await command.ExecuteNonQueryAsync(cancellationToken).ConfigureAwait(false);
    }

    private static async Task<T> ScalarAsync<T>(RunContext context, string sql, CancellationToken cancellationToken)
    {
        await using var command = Command(context, sql);
        return (T)(await command.ExecuteScalarAsync(cancellationToken).ConfigureAwait(false) ?? throw new InvalidOperationException($"SweepRig bug: no answer to {sql}"));
    }

    private static NpgsqlDbType TypeOf(object value) => value switch
    {
        long => NpgsqlDbType.Bigint,
        double => NpgsqlDbType.Double,
        string => NpgsqlDbType.Text,
        byte[] => NpgsqlDbType.Bytea,
        _ => throw new InvalidOperationException($"SweepRig bug: a store holds a value of {value.GetType()}."),
    };
}
