using Microsoft.EntityFrameworkCore;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage;

/// <summary>What a store holds.</summary>
/// <param name="Name">File or database.</param>
/// <param name="Version">Of its tables.</param>
/// <param name="Bytes">Room that it takes on disk.</param>
/// <param name="Waiting">Writes of this bench that wait for the server, in <paramref name="WaitingIn"/>.</param>
public sealed record StoreFacts(string Name, int Version, long Runs, long Samples, long Calibrations, long Lots, long Tubes, long Bytes, long Waiting, string? WaitingIn)
{
    public static Task<StoreFacts> OfAsync(RunStore store, CancellationToken cancellationToken) => store.OnContextAsync(
        async context => new StoreFacts(
            store.Name,
            StoreSchema.Latest,
            await context.Runs.LongCountAsync(cancellationToken).ConfigureAwait(false),
            await context.Runs.SumAsync(r => (long?)r.Samples, cancellationToken).ConfigureAwait(false) ?? 0,
            await context.Calibrations.LongCountAsync(cancellationToken).ConfigureAwait(false),
            await context.Lots.LongCountAsync(cancellationToken).ConfigureAwait(false),
            await context.Tubes.LongCountAsync(cancellationToken).ConfigureAwait(false),
            await store.Database.BytesAsync(context, cancellationToken).ConfigureAwait(false),
            store.CountWaiting(),
            store.WaitingIn),
        cancellationToken);
}
