using System.Collections.Concurrent;
using System.Runtime.CompilerServices;
using System.Threading.Channels;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Logging;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Runs;
using SweepRig.Domain.Stock;
using SweepRig.Storage.Blocks;
using SweepRig.Storage.Databases;
using SweepRig.Storage.Schema;
using SweepRig.Storage.Waiting;

namespace SweepRig.Storage;

/// <summary>
/// The runs of one data directory, in one SQLite file, or those of several benches, in one PostgreSQL database. Any number of processes may read while one
/// of each data directory records. Safe from any thread. Every method throws <see cref="RunStoreException"/>, an <see cref="IOException"/> that names the
/// store and the remedy, when the store fails it.
/// </summary>
public sealed partial class RunStore : IRunRecorder, IAsyncDisposable
{
    /// <summary>Name of the file in the data directory.</summary>
    public const string FileName = "runs.db";

    /// <summary>Blocks read in one statement; a slow reader must not hold a read transaction, which would keep the write-ahead log growing.</summary>
    private const int BlocksPerRead = 512;

    private const int PacksPerRead = 4;

    private readonly StoreDatabase _database;
    private readonly TimeProvider _clock;
    private readonly ILogger<RunStore> _logger;

    // Runs that ended without an end and could not be marked, for example on a full disk. Marked with the next run that can be written.
    private readonly ConcurrentDictionary<long, string> _unmarked = new();

    private readonly SharedTexts _texts = new();
    private readonly Delivery? _delivery;

    // Packed one after another behind the back of the bench, which is free for the next run as soon as the end of this one is durable.
    private readonly Channel<long> _toPack = Channel.CreateUnbounded<long>(new() { SingleReader = true });
    private readonly Task _packing;
    private int _disposed;

    private RunStore(StorePlace place, StoreDatabase database, TimeProvider clock, ILogger<RunStore> logger)
    {
        Place = place;
        _database = database;
        _clock = clock;
        _logger = logger;
        if (place.IsShared)
        {
            var file = new WaitingFile(Path.GetFullPath(Path.Combine(place.DataDirectory, WaitingFile.FileName)), Name);
            _delivery = new(file, Name, ApplyAsync, cancellation => OnContextAsync(_ => Task.FromResult(true), cancellation), PackAsync, clock, logger);
        }
        _packing = PackEndedAsync();
    }

    public StorePlace Place { get; }

    /// <summary>Full path of the file, or name of the database.</summary>
    public string Name => _database.Name;

    /// <summary>Opens the store of a data directory, making both if need be.</summary>
    /// <exception cref="RunStoreException">The directory cannot be written, or the file in it is damaged, of another program or of a newer SweepRig.</exception>
    public static Task<RunStore> OpenAsync(string dataDirectory, TimeProvider clock, ILogger<RunStore> logger, CancellationToken cancellationToken) =>
        OpenAsync(new StorePlace(dataDirectory), clock, logger, cancellationToken);

    /// <summary>Opens a store, making its tables if need be.</summary>
    /// <exception cref="RunStoreException">As for a data directory; or the server cannot be reached, refuses this user, or has no such database.</exception>
    public static Task<RunStore> OpenAsync(StorePlace place, TimeProvider clock, ILogger<RunStore> logger, CancellationToken cancellationToken) =>
        OpenAsync(place, null, clock, logger, cancellationToken);

    internal static async Task<RunStore> OpenAsync(
        StorePlace place, int? maxPages, TimeProvider clock, ILogger<RunStore> logger, CancellationToken cancellationToken)
    {
        DataDirectory.Make(place.DataDirectory);
        var store = new RunStore(place, place.PostgresConnection is { } connection ? new PostgresDatabase(PostgresAddress.Read(connection)) : new SqliteDatabase(place.Name, maxPages), clock, logger);
        try
        {
            await store.OnContextAsync(
                async context =>
                {
                    await store._database.PrepareAsync(context, cancellationToken).ConfigureAwait(false);
                    return true;
                },
                cancellationToken).ConfigureAwait(false);
            return store;
        }
        catch
        {
            await store.DisposeAsync().ConfigureAwait(false);
            throw;
        }
    }

    public async ValueTask<IRunRecording> BeginAsync(RunHeader header, CancellationToken cancellationToken)
    {
        var bench = BenchName.Of(Place.DataDirectory);
        var number = await OnContextAsync(
            async context =>
            {
                var row = await _texts.RowAsync(context, header, bench, cancellationToken).ConfigureAwait(false);
                context.Runs.Add(row);
                var unmarked = _unmarked.ToArray();
                await using var transaction = await context.Database.BeginTransactionAsync(cancellationToken).ConfigureAwait(false);
                foreach (var (run, ended) in unmarked) await MarkIncompleteAsync(context, run, ended).ConfigureAwait(false);
                await context.SaveChangesAsync(cancellationToken).ConfigureAwait(false);
                await transaction.CommitAsync(CancellationToken.None).ConfigureAwait(false);
                foreach (var (run, _) in unmarked) _unmarked.TryRemove(run, out _);
                return row.Number;
            },
            cancellationToken).ConfigureAwait(false);
        return new RunRecording(this, header.Id, number);
    }

    /// <summary>The newest runs, newest first.</summary>
    /// <param name="limit">At most this many, 1 or more.</param>
    /// <param name="olderThan">Only runs before this one; null for all.</param>
    public Task<IReadOnlyList<RunRecord>> ListAsync(int limit, string? olderThan, CancellationToken cancellationToken) =>
        ListAsync(limit, olderThan, only: null, cancellationToken);

    /// <summary>As <see cref="ListAsync(int, string?, CancellationToken)"/>, of one kind.</summary>
    /// <param name="limit">At most this many, 1 or more.</param>
    /// <param name="olderThan">Only runs before this one; null for all.</param>
    /// <param name="only">Only runs of this kind; null for all.</param>
    public Task<IReadOnlyList<RunRecord>> ListAsync(int limit, string? olderThan, RunKind? only, CancellationToken cancellationToken)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(limit, 1);
        return OnContextAsync<IReadOnlyList<RunRecord>>(
            async context =>
            {
                var query = context.Runs.AsNoTracking();
                if (olderThan is not null) query = query.Where(r => string.Compare(r.Id, olderThan) < 0);
                if (only == RunKind.Screening) query = query.Where(r => r.Screening != null);
                if (only == RunKind.Sweep) query = query.Where(r => r.Screening == null);
                var rows = await query.OrderByDescending(r => r.Id).Take(limit).ToListAsync(cancellationToken).ConfigureAwait(false);
                return await ReadableAsync(context, rows, cancellationToken).ConfigureAwait(false);
            },
            cancellationToken);
    }

    /// <summary>All runs of the tube with a number, of whichever section, newest first.</summary>
    public Task<IReadOnlyList<RunRecord>> OfTubeAsync(string label, CancellationToken cancellationToken) => OnContextAsync<IReadOnlyList<RunRecord>>(
        async context =>
        {
            var labels = TubeNumber.AllOf(label);
            var rows = await context.Runs.AsNoTracking().Where(r => labels.Contains(r.TubeLabel)).OrderByDescending(r => r.Id).ToListAsync(cancellationToken).ConfigureAwait(false);
            return await ReadableAsync(context, rows, cancellationToken).ConfigureAwait(false);
        },
        cancellationToken);

    /// <returns>The run; null if there is none of that id.</returns>
    public Task<RunRecord?> FindAsync(string id, CancellationToken cancellationToken) =>
        OnContextAsync(
            async context =>
            {
                var row = await context.Runs.AsNoTracking().SingleOrDefaultAsync(r => r.Id == id, cancellationToken).ConfigureAwait(false);
                if (row is null) return null;
                var records = await RecordsAsync(context, [row], cancellationToken).ConfigureAwait(false);
                return Reading(id, records[0]);
            },
            cancellationToken);

    /// <summary>The blocks of a run in the order recorded. Also while it is being recorded: ends with what was there when asked last.</summary>
    /// <param name="id">The run; an unknown one has no blocks.</param>
    /// <param name="fromSequence">First sequence number wanted.</param>
    public async IAsyncEnumerable<StoredBlock> ReadBlocksAsync(
        string id, long fromSequence, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        while (true)
        {
            var from = fromSequence;
            // The blocks first: a run whose end packs them between the two questions is found whole in one of them.
            var (rows, packs) = await OnContextAsync(
                async context =>
                {
                    var number = await context.Runs.Where(r => r.Id == id).Select(r => r.Number).FirstOrDefaultAsync(cancellationToken).ConfigureAwait(false);
                    var rows = await context.Blocks.AsNoTracking().Where(b => b.Run == number && b.Sequence >= from).OrderBy(b => b.Sequence).Take(BlocksPerRead)
                        .ToListAsync(cancellationToken).ConfigureAwait(false);
                    List<PackRow> packs = rows.Count > 0 ? [] : await context.Packs.AsNoTracking().Where(p => p.Run == number && p.Sequence + p.Blocks > from)
                        .OrderBy(p => p.Sequence).Take(PacksPerRead).ToListAsync(cancellationToken).ConfigureAwait(false);
                    return (rows, packs);
                },
                cancellationToken).ConfigureAwait(false);
            foreach (var row in rows)
            {
                yield return new StoredBlock(row.Sequence, Reading(id, () => BlockBlob.Decode(row.Pass, row.FrameIndex, row.Data)));
                fromSequence = row.Sequence + 1;
            }
            foreach (var pack in packs)
            {
                var blocks = Reading(id, () => BlockPack.Decode(pack.Data));
                for (var i = 0; i < blocks.Count; i++)
                    if (pack.Sequence + i >= from) yield return new StoredBlock(pack.Sequence + i, blocks[i]);
                fromSequence = pack.Sequence + pack.Blocks;
            }
            if (rows.Count < BlocksPerRead && packs.Count < PacksPerRead) yield break;
        }
    }

    /// <summary>
    /// Marks runs that a killed process of this data directory left running as incomplete. To be called under the <see cref="DataDirectoryLock"/>, before the
    /// first run. Runs that another bench has under way in a shared store are its own.
    /// </summary>
    /// <returns>How many there were.</returns>
    public Task<int> MarkInterruptedAsync(CancellationToken cancellationToken)
    {
        var bench = BenchName.Of(Place.DataDirectory);
        return OnContextAsync(
            context =>
            {
                var running = context.Runs.Where(r => r.State == RunRows.Running);
                if (Place.IsShared) running = running.Where(r => r.Bench == bench || r.Bench == null);
                return running.ExecuteUpdateAsync(set => set.SetProperty(r => r.State, RunRows.Incomplete), cancellationToken);
            },
            cancellationToken);
    }

    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0) return;
        _toPack.Writer.TryComplete();
        await _packing.ConfigureAwait(false);
        if (_delivery is not null) await _delivery.DisposeAsync().ConfigureAwait(false);
        await _database.DisposeAsync().ConfigureAwait(false);
    }

    /// <summary>The database under the store, for what differs between databases.</summary>
    internal StoreDatabase Database => _database;

    /// <summary>
    /// Runs file work on the thread pool: the calls of SQLite block until the disk is done, and a caller that keeps a rig's lease alive must not.
    /// </summary>
    internal async Task<T> OnContextAsync<T>(Func<RunContext, Task<T>> work, CancellationToken cancellationToken)
    {
        try
        {
            return await Task.Run(
                async () =>
                {
                    var context = _database.Context();
                    await using (context.ConfigureAwait(false))
                    {
                        await _database.OpenAsync(context, cancellationToken).ConfigureAwait(false);
                        return await work(context).ConfigureAwait(false);
                    }
                },
                cancellationToken).ConfigureAwait(false);
        }
        catch (Exception fault) when (fault is not (RunStoreException or OperationCanceledException) && _database.Explain(fault) is { } told)
        {
            throw told.IsAway && Waiting > 0 ? told.Adding($"What was recorded meanwhile waits in {WaitingIn} and is brought there when the server is back.") : told;
        }
    }

    /// <summary>As <see cref="OnContextAsync"/>, in one transaction, in which writers of all benches take turns: what was read stays true until the end.</summary>
    /// <param name="work">Its result, and whether what it changed is to be kept.</param>
    internal Task<T> InTurnAsync<T>(Func<RunContext, Task<(T Result, bool Keep)>> work, CancellationToken cancellationToken) => OnContextAsync(
        async context =>
        {
            await using var transaction = await _database.BeginTurnAsync(context, cancellationToken).ConfigureAwait(false);
            var (result, keep) = await work(context).ConfigureAwait(false);
            if (keep) await transaction.CommitAsync(CancellationToken.None).ConfigureAwait(false);
            return result;
        },
        cancellationToken);

    private static Task<int> MarkIncompleteAsync(RunContext context, long run, string ended) =>
        context.Runs
            .Where(r => r.Number == run && r.State == RunRows.Running)
            .ExecuteUpdateAsync(set => set.SetProperty(r => r.State, RunRows.Incomplete).SetProperty(r => r.Ended, ended));

    private async Task<IReadOnlyList<Func<RunRecord>>> RecordsAsync(RunContext context, List<RunRow> rows, CancellationToken cancellationToken)
    {
        // A run whose end found no room is over all the same.
        foreach (var row in rows)
            if (row.State == RunRows.Running && _unmarked.TryGetValue(row.Number, out var ended)) (row.State, row.Ended) = (RunRows.Incomplete, ended);
        var numbers = rows.ConvertAll(r => r.Number);
        var trips = (await context.Trips.AsNoTracking().Where(t => numbers.Contains(t.Run)).OrderBy(t => t.Number).ToListAsync(cancellationToken).ConfigureAwait(false))
            .ToLookup(t => t.Run);
        var gaps = (await context.Gaps.AsNoTracking().Where(g => numbers.Contains(g.Run)).OrderBy(g => g.Number).ToListAsync(cancellationToken).ConfigureAwait(false))
            .ToLookup(g => g.Run);
        var texts = await _texts.ReadAsync(context, rows, cancellationToken).ConfigureAwait(false);
        return rows.ConvertAll<Func<RunRecord>>(row => () => RunRows.ToRecord(row, trips[row.Number], gaps[row.Number], texts));
    }

    private async Task<List<RunRecord>> ReadableAsync(RunContext context, List<RunRow> rows, CancellationToken cancellationToken)
    {
        var records = await RecordsAsync(context, rows, cancellationToken).ConfigureAwait(false);
        var readable = new List<RunRecord>(rows.Count);
        for (var i = 0; i < rows.Count; i++)
        {
            // One damaged run must not hide the others.
            try
            {
                readable.Add(records[i]());
            }
            catch (InvalidDataException fault)
            {
                _logger.LogError(LogEvents.RunUnreadable, fault, "Run {RunId} in {Store} cannot be read and is left out of the list", rows[i].Id, Name);
            }
        }
        return readable;
    }

    private T Reading<T>(string id, Func<T> read)
    {
        try
        {
            return read();
        }
        catch (InvalidDataException fault)
        {
            throw new RunStoreException(Name, $"run {id} cannot be read: {fault.Message}", "Restore the file from a backup, or use a newer SweepRig.", fault);
        }
    }
}
