using Microsoft.EntityFrameworkCore;
using SweepRig.Storage.Databases;
using SweepRig.Storage.Schema;
using SweepRig.Storage.Waiting;

namespace SweepRig.Storage;

/// <summary>What can be told of a store without changing it, also beside a process that records into it.</summary>
/// <param name="Name">File or database.</param>
/// <param name="Version">Of its tables; 0 where there is no store yet.</param>
/// <param name="Latest">Version that this program makes of it.</param>
/// <param name="NewestRunUtc">Start of the newest run; null for none, or where the tables are older than this program reads.</param>
/// <param name="Waiting">Writes of this bench that wait for the server.</param>
/// <param name="WaitingIn">The file that keeps them; null for a store that is a file itself.</param>
public sealed record StoreProbe(string Name, long Version, int Latest, DateTimeOffset? NewestRunUtc, long Waiting, string? WaitingIn)
{
    /// <summary>Opens the store, takes the turn to write once and gives it back.</summary>
    /// <exception cref="RunStoreException">The store cannot be read or written; the message says why and what to do.</exception>
    public static async Task<StoreProbe> OfAsync(StorePlace place, CancellationToken cancellationToken)
    {
        var waiting = place.IsShared ? new WaitingFile(Path.GetFullPath(Path.Combine(place.DataDirectory, WaitingFile.FileName)), place.Name) : null;
        if (!place.IsShared && !File.Exists(place.Name)) return new(place.Name, 0, StoreSchema.Latest, null, 0, null);
        await using var database = Open(place);
        try
        {
            await using var context = database.Context();
            await database.OpenAsync(context, cancellationToken).ConfigureAwait(false);
            var version = await database.VersionAsync(context, cancellationToken).ConfigureAwait(false);
            DateTimeOffset? newest = null;
            if (version == StoreSchema.Latest)
            {
                var started = await context.Runs.OrderByDescending(r => r.Id).Select(r => r.Started).FirstOrDefaultAsync(cancellationToken).ConfigureAwait(false);
                if (started is not null) newest = RunRows.Time(started);
                await using var turn = await database.BeginTurnAsync(context, cancellationToken).ConfigureAwait(false);
            }
            return new(place.Name, version, StoreSchema.Latest, newest, waiting?.Count() ?? 0, waiting?.Path);
        }
        catch (Exception fault) when (fault is not (RunStoreException or OperationCanceledException) && database.Explain(fault) is { } told)
        {
            throw told;
        }
    }

    private static StoreDatabase Open(StorePlace place) =>
        place.PostgresConnection is { } connection ? new PostgresDatabase(PostgresAddress.Read(connection)) : new SqliteDatabase(place.Name, maxPages: null);
}
