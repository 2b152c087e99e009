using Microsoft.Data.Sqlite;

namespace SweepRig.Storage.Schema;

/// <summary>
/// Makes and upgrades the tables. The version is kept in the file's user_version and the owner in its application_id
/// (https://www.sqlite.org/fileformat2.html, 1.3.13 and 1.3.15). A step once released is never edited; a change is a new step at the end.
/// </summary>
internal static class StoreSchema
{
    /// <summary>"SwRg" in ASCII.</summary>
    public const int ApplicationId = 0x53775267;

    private static readonly string[] Steps =
    [
        """
        CREATE TABLE runs (
          number INTEGER PRIMARY KEY,
          id TEXT NOT NULL UNIQUE,
          started TEXT NOT NULL,
          ended TEXT,
          state TEXT NOT NULL,
          samples INTEGER NOT NULL,
          tube_label TEXT NOT NULL,
          tube_type TEXT NOT NULL,
          lot TEXT,
          socket INTEGER NOT NULL,
          plan TEXT NOT NULL,
          header TEXT NOT NULL);
        CREATE INDEX runs_running ON runs (state) WHERE state = 'running';
        CREATE TABLE blocks (
          run INTEGER NOT NULL REFERENCES runs (number),
          sequence INTEGER NOT NULL,
          pass INTEGER NOT NULL,
          frame_index INTEGER NOT NULL,
          samples INTEGER NOT NULL,
          data BLOB NOT NULL,
          PRIMARY KEY (run, sequence)) WITHOUT ROWID;
        CREATE TABLE trips (
          number INTEGER PRIMARY KEY,
          run INTEGER NOT NULL REFERENCES runs (number),
          cause INTEGER NOT NULL,
          by_rig INTEGER NOT NULL,
          measured TEXT NOT NULL,
          allowed TEXT NOT NULL,
          occurred TEXT NOT NULL,
          rig_microseconds INTEGER);
        CREATE INDEX trips_run ON trips (run);
        CREATE TABLE gaps (
          number INTEGER PRIMARY KEY,
          run INTEGER NOT NULL REFERENCES runs (number),
          pass INTEGER NOT NULL,
          first_point INTEGER NOT NULL,
          points INTEGER NOT NULL,
          reason TEXT NOT NULL);
        CREATE INDEX gaps_run ON gaps (run);
        """,
        """
        CREATE TABLE calibrations (
          number INTEGER PRIMARY KEY,
          id TEXT NOT NULL UNIQUE,
          rig TEXT NOT NULL,
          made TEXT NOT NULL,
          document TEXT NOT NULL);
        CREATE INDEX calibrations_rig ON calibrations (rig, made);
        CREATE TABLE calibrations_begun (
          rig TEXT PRIMARY KEY,
          saved TEXT NOT NULL,
          document TEXT NOT NULL) WITHOUT ROWID;
        """,
        """
        CREATE TABLE lots (
          number INTEGER PRIMARY KEY,
          name TEXT NOT NULL UNIQUE,
          prefix TEXT NOT NULL UNIQUE,
          type TEXT,
          origin TEXT,
          price TEXT,
          note TEXT,
          booked TEXT NOT NULL);
        CREATE TABLE tubes (
          number INTEGER PRIMARY KEY,
          label TEXT NOT NULL UNIQUE,
          lot INTEGER NOT NULL REFERENCES lots (number),
          ordinal INTEGER NOT NULL,
          UNIQUE (lot, ordinal));
        CREATE TABLE tube_changes (
          number INTEGER PRIMARY KEY,
          tube INTEGER NOT NULL REFERENCES tubes (number),
          kind TEXT NOT NULL,
          text TEXT NOT NULL,
          at TEXT NOT NULL);
        CREATE INDEX tube_changes_tube ON tube_changes (tube);
        """,
        "CREATE INDEX runs_tube ON runs (tube_label, id);",
    ];

    public static int Latest => Steps.Length;

    /// <summary>Brings the file to the latest version. Safe against another process doing the same.</summary>
    /// <exception cref="RunStoreException">The file belongs to something else or to a newer SweepRig. It is left as it is.</exception>
    public static void Prepare(SqliteConnection connection, string file)
    {
        if (VersionOf(connection, file) < Latest)
        {
            // BEGIN IMMEDIATE, then looked at again: another process may have been quicker.
            using var transaction = connection.BeginTransaction(deferred: false);
            for (var version = VersionOf(connection, file); version < Latest; version++) Execute(connection, Steps[version]);
            Execute(connection, $"PRAGMA application_id = {ApplicationId}; PRAGMA user_version = {Latest};");
            transaction.Commit();
        }

        // Readers of other processes must not stop the recording, nor it them: https://www.sqlite.org/wal.html
        if (Query<string>(connection, "PRAGMA journal_mode = WAL;") is var mode && mode != "wal")
            throw new RunStoreException(file, $"this disk cannot hold a write-ahead log (journal mode stays '{mode}').", "Choose a data directory on a local disk.");
    }

    private static int VersionOf(SqliteConnection connection, string file)
    {
        // One statement, and so one state of the file: another process may be making it.
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT application_id, user_version, (SELECT count(*) FROM sqlite_schema) FROM pragma_application_id, pragma_user_version;";
        using var row = command.ExecuteReader();
        if (!row.Read()) throw new InvalidOperationException("SweepRig bug: a file has no version.");
        var (owner, version, tables) = (row.GetInt64(0), row.GetInt64(1), row.GetInt64(2));
        if (owner != ApplicationId && (owner != 0 || version != 0 || tables != 0))
            throw new RunStoreException(file, "this is a database of another program.", "Move it away, or choose another data directory.");
        if (version > Latest)
            throw new RunStoreException(
                file, $"this run store has version {version}; this SweepRig knows versions up to {Latest}.", "Use a newer SweepRig, or another data directory.");
        return (int)version;
    }

    private static void Execute(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        command.ExecuteNonQuery();
    }

    private static T Query<T>(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        return (T)(command.ExecuteScalar() ?? throw new InvalidOperationException($"SweepRig bug: no answer to {sql}"));
    }
}
