using SweepRig.Storage.Databases;

namespace SweepRig.Storage;

/// <summary>Where a store is: a file in the data directory, or a PostgreSQL database that several benches share.</summary>
/// <param name="DataDirectory">Directory of this bench. Beside a shared database it keeps what the server could not take yet.</param>
/// <param name="PostgresConnection">How to reach the database, as Npgsql or a postgresql:// address says it; null for the file. May hold a password: never shown.</param>
public sealed record StorePlace(string DataDirectory, string? PostgresConnection = null)
{
    public bool IsShared => PostgresConnection is not null;

    /// <summary>In the words of messages, without password.</summary>
    /// <exception cref="RunStoreException">The connection is not readable.</exception>
    public string Name => PostgresConnection is { } connection ? PostgresAddress.Read(connection).Name : Path.GetFullPath(Path.Combine(DataDirectory, RunStore.FileName));

    public override string ToString() => Name;
}
