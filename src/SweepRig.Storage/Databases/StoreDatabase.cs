using System.Data.Common;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Infrastructure;
using Microsoft.EntityFrameworkCore.Storage;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage.Databases;

/// <summary>
/// What differs between the databases that can hold a store. All else, tables and queries alike, is written once.
/// </summary>
internal abstract class StoreDatabase(DbContextOptions<RunContext> options) : IAsyncDisposable
{
    // As many as there are turns at the store at one time; what a context costs to make is more than most of what is asked of it.
    private const int MostContexts = 16;

    private readonly PooledDbContextFactory<RunContext> _contexts = new(options, MostContexts);

    /// <summary>File or database, in the words of messages.</summary>
    public abstract string Name { get; }

    /// <summary>A context as new; its connection is closed.</summary>
    public RunContext Context() => _contexts.CreateDbContext();

    /// <summary>Opens the connection of a context. It is alive when this returns.</summary>
    public abstract Task OpenAsync(RunContext context, CancellationToken cancellationToken);

    /// <summary>Brings the tables to the latest version. Safe against another process doing the same.</summary>
    /// <exception cref="RunStoreException">The database belongs to something else or to a newer SweepRig. It is left as it is.</exception>
    public abstract Task PrepareAsync(RunContext context, CancellationToken cancellationToken);

    /// <summary>Version of the tables as they are; 0 where there are none. Changes nothing.</summary>
    /// <exception cref="RunStoreException">As for <see cref="PrepareAsync"/>.</exception>
    public abstract Task<long> VersionAsync(RunContext context, CancellationToken cancellationToken);

    /// <summary>Begins a transaction in which what was read stays true until the commit: writers of all benches take turns.</summary>
    public abstract Task<IDbContextTransaction> BeginTurnAsync(RunContext context, CancellationToken cancellationToken);

    /// <summary>Adds the blocks in the transaction of the context; change tracking costs more than the row here.</summary>
    public abstract Task InsertBlocksAsync(RunContext context, long run, IReadOnlyList<BlockRow> blocks, CancellationToken cancellationToken);

    /// <summary>Adds rows to a table, numbers and all, in the transaction of the context; the next row that is added without a number gets one that is free.</summary>
    public abstract Task LoadAsync(RunContext context, string table, IReadOnlyList<string> columns, IAsyncEnumerable<object?[]> rows, CancellationToken cancellationToken);

    /// <summary>Room that the store takes on disk, in bytes.</summary>
    public abstract Task<long> BytesAsync(RunContext context, CancellationToken cancellationToken);

    /// <returns>The fault in words of the user; null when it is none of the database.</returns>
    public abstract RunStoreException? Explain(Exception fault);

    public abstract ValueTask DisposeAsync();

    /// <summary>A command in the transaction of the context.</summary>
    /// <param name="lasts">It goes through whole tables, and has no limit of time.</param>
    public static DbCommand Command(RunContext context, string sql, bool lasts = false)
    {
        var command = context.Database.GetDbConnection().CreateCommand();
        command.CommandText = sql;
        if (lasts) command.CommandTimeout = 0;
        command.Transaction = context.Database.CurrentTransaction?.GetDbTransaction();
        return command;
    }

    protected RunStoreException Newer(long version) => new(
        Name, $"this run store has version {version}; this SweepRig knows versions up to {StoreSchema.Latest}.", "Use a newer SweepRig, or another store.");

    protected RunStoreException OfAnother() => new(Name, "this is a database of another program.", "Leave it to that program, and choose another store.");

    /// <returns>The first fault of a kind, down the chain of causes.</returns>
    protected static T? Cause<T>(Exception? fault)
        where T : Exception
    {
        for (; fault is not null; fault = fault.InnerException)
            if (fault is T found) return found;
        return null;
    }
}
