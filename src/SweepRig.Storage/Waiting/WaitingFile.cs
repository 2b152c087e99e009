using Microsoft.Data.Sqlite;

namespace SweepRig.Storage.Waiting;

/// <summary>A write that waits, with its place among the writes of its run.</summary>
internal sealed record WaitingWrite(long Number, long Run, long Ordinal, RunWrite Write);

/// <summary>
/// The file in the data directory that keeps what a server could not take yet, durable like the store itself. Only the process that holds the
/// <see cref="DataDirectoryLock"/> uses it. What waits for one store stays apart from what waits for another.
/// </summary>
internal sealed class WaitingFile(string path, string store)
{
    public const string FileName = "waiting.db";

    /// <summary>Largest size of the file, in bytes: hours of sweeping.</summary>
    public const long Largest = 256L << 20;

    private readonly string _connection = new SqliteConnectionStringBuilder { DataSource = path, Pooling = false, DefaultTimeout = 10 }.ToString();

    public string Path => path;

    /// <returns>How many writes wait; 0 where there is no file.</returns>
    public long Count() => File.Exists(path) ? OnFile(connection => (long)Command(connection, "SELECT count(*) FROM waiting WHERE store = $store;").ExecuteScalar()!) : 0;

    /// <exception cref="RunStoreException">The file cannot be written, or is as large as it may become.</exception>
    public void Add(long run, long ordinal, RunWrite write)
    {
        if (File.Exists(path) && new FileInfo(path).Length > Largest)
            throw new RunStoreException(path, $"{store} does not answer, and what waits for it has reached {Largest >> 20} MiB.", "Start the server; what waits is delivered then.");
        OnFile(connection =>
        {
            using var command = Command(connection, "INSERT INTO waiting (store, run, ordinal, body) VALUES ($store, $run, $ordinal, $body);");
            command.Parameters.AddWithValue("$run", run);
            command.Parameters.AddWithValue("$ordinal", ordinal);
            command.Parameters.AddWithValue("$body", write.ToBytes());
            return command.ExecuteNonQuery();
        });
    }

    /// <summary>The writes that have waited longest.</summary>
    public IReadOnlyList<WaitingWrite> First(int most) => OnFile(connection =>
    {
        using var command = Command(connection, "SELECT number, run, ordinal, body FROM waiting WHERE store = $store ORDER BY number LIMIT $most;");
        command.Parameters.AddWithValue("$most", most);
        using var reader = command.ExecuteReader();
        List<WaitingWrite> found = [];
        while (reader.Read()) found.Add(new(reader.GetInt64(0), reader.GetInt64(1), reader.GetInt64(2), RunWrite.Of((byte[])reader[3])));
        return found;
    });

    public void Remove(WaitingWrite write) => OnFile(connection =>
    {
        using var command = Command(connection, "DELETE FROM waiting WHERE store = $store AND number = $number;");
        command.Parameters.AddWithValue("$number", write.Number);
        return command.ExecuteNonQuery();
    });

    private SqliteCommand Command(SqliteConnection connection, string sql)
    {
        var command = connection.CreateCommand();
        command.CommandText = sql;
        command.Parameters.AddWithValue("$store", store);
        return command;
    }

    private T OnFile<T>(Func<SqliteConnection, T> work)
    {
        try
        {
            using var connection = new SqliteConnection(_connection);
            connection.Open();
            using var make = Command(
                connection,
                """
                PRAGMA journal_mode = WAL;
                PRAGMA synchronous = FULL;
                CREATE TABLE IF NOT EXISTS waiting (number INTEGER PRIMARY KEY, store TEXT NOT NULL, run INTEGER NOT NULL, ordinal INTEGER NOT NULL, body BLOB NOT NULL);
                """);
            make.ExecuteNonQuery();
            return work(connection);
        }
        catch (SqliteException fault)
        {
            throw RunStoreException.From(fault, path);
        }
    }
}
