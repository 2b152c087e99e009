using System.Runtime.CompilerServices;

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

    /// <summary>
    /// Leaves the pool one thread until it is disposed: what a moment brings about is done one after another, and no time goes into waking threads and waiting for them, which on a busy computer is most of it.
    /// Nothing may wait on a thread of the pool for another meanwhile.
    /// </summary>
    public static IDisposable OneThread() => new Narrowed();

    private sealed class Narrowed : IDisposable
    {
        private readonly (int Work, int Ports) _least, _most;

        public Narrowed()
        {
            ThreadPool.GetMinThreads(out _least.Work, out _least.Ports);
            ThreadPool.GetMaxThreads(out _most.Work, out _most.Ports);
            if (!ThreadPool.SetMinThreads(1, _least.Ports) || !ThreadPool.SetMaxThreads(1, _most.Ports)) throw new InvalidOperationException("The thread pool does not let itself be narrowed to one thread.");
        }

        public void Dispose()
        {
            ThreadPool.SetMaxThreads(_most.Work, _most.Ports);
            ThreadPool.SetMinThreads(_least.Work, _least.Ports);
        }
    }

    /// <summary>Goes on once the pool is quiet, on a thread of the pool, which costs no change of threads where one is enough for the work.</summary>
    /// <param name="isElsewhere">As of <see cref="Wait"/>.</param>
    public static Moment Comes(Func<bool>? isElsewhere = null) => new(isElsewhere);

    /// <summary>Awaited by one task alone, which is then the only one at work.</summary>
    public sealed class Moment(Func<bool>? isElsewhere) : INotifyCompletion, IThreadPoolWorkItem
    {
        private Action? _continuation;

        public bool IsCompleted => false;

        public Moment GetAwaiter() => this;

        public void OnCompleted(Action continuation)
        {
            _continuation = continuation;
            ThreadPool.UnsafeQueueUserWorkItem(this, preferLocal: false);
        }

        public void GetResult()
        {
        }

        void IThreadPoolWorkItem.Execute()
        {
            ThreadPool.GetMaxThreads(out var most, out _);
            while (true)
            {
                // What waits may wait for this very thread.
                if (ThreadPool.PendingWorkItemCount > 0)
                {
                    ThreadPool.UnsafeQueueUserWorkItem(this, preferLocal: false);
                    return;
                }
                ThreadPool.GetAvailableThreads(out var free, out _);
                if (most - free <= 1 && ThreadPool.PendingWorkItemCount == 0 && isElsewhere?.Invoke() != true) break;
                Thread.Yield();
            }
            _continuation!();
        }
    }
}
