using Microsoft.Extensions.Logging;
using SweepRig.Domain.Logging;

namespace SweepRig.Storage.Waiting;

/// <summary>
/// Brings the writes of recordings to a store on a server. While the server is away they are kept in a file, in their order, and brought there once it is
/// back. A write counts as done only when one of the two has it on disk, and none is done twice: the store knows how many writes of a run it has.
/// </summary>
/// <param name="apply">Brings one write of a run to the store, unless it is there; throws a <see cref="RunStoreException"/> that is away while the server is.</param>
/// <param name="ask">Throws one while the server is away.</param>
/// <param name="ended">Told of a run whose end was brought late.</param>
internal sealed class Delivery(
    WaitingFile file, string store, Func<long, long, RunWrite, CancellationToken, Task> apply, Func<CancellationToken, Task> ask, Func<long, Task> ended, TimeProvider clock, ILogger logger)
    : IAsyncDisposable
{
    private static readonly TimeSpan BetweenTries = TimeSpan.FromSeconds(1), AfterFault = TimeSpan.FromMinutes(1);

    /// <summary>Brought in one go, so that a recording never waits long for its turn.</summary>
    private const int AtOnce = 20;

    private readonly SemaphoreSlim _turn = new(1);
    private readonly CancellationTokenSource _ending = new();
    private Task _task = Task.CompletedTask;
    private long _shown;

    // Only touched by who has the turn.
    private long? _waiting;
    private bool _delivering;

    /// <summary>Writes that wait for the server, as far as this process has come to know.</summary>
    public long Waiting => Volatile.Read(ref _shown);

    public string File => file.Path;

    /// <summary>Writes that wait in the file, whoever left them there.</summary>
    public long CountInFile() => file.Count();

    public async Task WriteAsync(long run, long ordinal, RunWrite write, CancellationToken cancellationToken)
    {
        await _turn.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            if (Count() == 0)
            {
                try
                {
                    await apply(run, ordinal, write, cancellationToken).ConfigureAwait(false);
                    return;
                }
                catch (RunStoreException away) when (away.IsAway)
                {
                    logger.LogWarning(LogEvents.StoreAway, "{Fault} Samples are kept in {File} until it is back", away.Message, file.Path);
                }
            }
            file.Add(run, ordinal, write);
            Set(Count() + 1);
            if (_delivering) return;
            _delivering = true;
            _task = Task.Run(UntilDeliveredAsync, CancellationToken.None);
        }
        finally
        {
            _turn.Release();
        }
    }

    /// <summary>Brings all that waits.</summary>
    /// <returns>How many writes there were.</returns>
    /// <exception cref="RunStoreException">The server is away, or does not take them; they wait on.</exception>
    public async Task<long> DeliverAsync(CancellationToken cancellationToken)
    {
        for (long delivered = 0; ; )
        {
            await _turn.WaitAsync(cancellationToken).ConfigureAwait(false);
            try
            {
                if (Count() == 0)
                {
                    _delivering = false;
                    return delivered;
                }
                foreach (var next in file.First(AtOnce))
                {
                    await apply(next.Run, next.Ordinal, next.Write, cancellationToken).ConfigureAwait(false);
                    file.Remove(next);
                    Set(Count() - 1);
                    delivered++;
                    if (next.Write is RunWrite.End) await ended(next.Run).ConfigureAwait(false);
                }
            }
            finally
            {
                _turn.Release();
            }
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _ending.CancelAsync().ConfigureAwait(false);
        await _task.ConfigureAwait(false);
        if (Waiting > 0) logger.LogWarning(LogEvents.WritesWait, "{Waiting} writes for {Store} wait in {File}; they are brought there when this bench starts again", Waiting, store, file.Path);
        _ending.Dispose();
        _turn.Dispose();
    }

    private async Task UntilDeliveredAsync()
    {
        for (var pause = BetweenTries; ;)
        {
            try
            {
                await Task.Delay(pause, clock, _ending.Token).ConfigureAwait(false);
                // Asked without holding a recording up.
                await ask(_ending.Token).ConfigureAwait(false);
                var delivered = await DeliverAsync(_ending.Token).ConfigureAwait(false);
                logger.LogWarning(LogEvents.StoreBack, "{Store} is back; {Delivered} writes that waited are there now", store, delivered);
                return;
            }
            catch (OperationCanceledException)
            {
                return;
            }
            catch (RunStoreException away) when (away.IsAway)
            {
                pause = BetweenTries;
            }
            catch (Exception fault)
            {
                logger.LogError(LogEvents.WritesStuck, fault, "What waits in {File} cannot be brought to {Store} now; it waits on", file.Path, store);
                pause = AfterFault;
            }
        }
    }

    private long Count()
    {
        if (_waiting is not { } known) Set(known = file.Count());
        return known;
    }

    private void Set(long waiting)
    {
        _waiting = waiting;
        Volatile.Write(ref _shown, waiting);
    }
}
