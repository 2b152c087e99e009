namespace SweepRig.Service.Fits;

/// <summary>
/// Where long computations go: on threads of their own, as many at once as leave the bench its processor time, so that neither live data nor short
/// requests wait behind them. One whose asker has gone is not begun; a fit that is under way stops, as it has the same token. Safe from any thread.
/// </summary>
public sealed class Workbench : IDisposable
{
    private readonly SemaphoreSlim _places = new(Math.Max(1, Environment.ProcessorCount / 2));
    private int _underWay;

    /// <summary>Computations that are at work.</summary>
    public int UnderWay => Volatile.Read(ref _underWay);

    /// <exception cref="OperationCanceledException">The asker has gone.</exception>
    public async Task<T> RunAsync<T>(Func<T> work, CancellationToken cancellationToken)
    {
        await _places.WaitAsync(cancellationToken);
        Interlocked.Increment(ref _underWay);
        return await Task.Factory.StartNew(
            () =>
            {
                try
                {
                    cancellationToken.ThrowIfCancellationRequested();
                    return work();
                }
                finally
                {
                    Interlocked.Decrement(ref _underWay);
                    _places.Release();
                }
            },
            CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default).WaitAsync(cancellationToken);
    }

    public void Dispose() => _places.Dispose();
}
