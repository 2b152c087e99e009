namespace SweepRig.Wire.Campaign;

/// <summary>Tells when nothing in this process works any more on what has happened so far, so that a virtual clock may go on.</summary>
/// <remarks>
/// Everything of a bench runs on the thread pool, and work there is only made by work there or by whoever waits here: no thread at work and no work
/// waiting is the end of it.
/// </remarks>
public static class Quiet
{
    /// <summary>Call from a thread that is not of the pool.</summary>
    /// <param name="isElsewhere">True while something works on a thread that is not of the pool; null where nothing does.</param>
    public static void Wait(Func<bool>? isElsewhere = null)
    {
        while (true)
        {
            ThreadPool.GetMaxThreads(out var most, out _);
            ThreadPool.GetAvailableThreads(out var free, out _);
            if (free == most && ThreadPool.PendingWorkItemCount == 0 && isElsewhere?.Invoke() != true) return;
            Thread.Yield();
        }
    }
}
