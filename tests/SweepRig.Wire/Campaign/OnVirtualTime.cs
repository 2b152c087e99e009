namespace SweepRig.Wire.Campaign;

/// <summary>Many benches, each on a virtual clock of its own, a number of them side by side, as fast as the machine can.</summary>
public static class OnVirtualTime
{
    private const int SideBySide = 48;

    /// <summary>Runs them on the thread pool, which must have nothing else to do: their clocks go on when it rests.</summary>
    /// <param name="benches">Drawn one by one, when there is room.</param>
    /// <returns>What came of each, in the order in which they ended.</returns>
    public static Task<IReadOnlyList<T>> RunAsync<T>(IEnumerable<(VirtualClock Clock, Func<Task<T>> Run)> benches)
    {
        var done = new TaskCompletionSource<IReadOnlyList<T>>(TaskCreationOptions.RunContinuationsAsynchronously);
        new Thread(() =>
        {
            try
            {
                done.SetResult(Run(benches));
            }
            catch (Exception e)
            {
                done.SetException(e);
            }
        }) { IsBackground = true, Name = "virtual time" }.Start();
        return done.Task;
    }

    private static List<T> Run<T>(IEnumerable<(VirtualClock Clock, Func<Task<T>> Run)> benches)
    {
        List<T> results = [];
        List<(VirtualClock Clock, Task<T> Ended)> running = [];
        using var waiting = benches.GetEnumerator();
        var more = waiting.MoveNext();
        while (more || running.Count > 0)
        {
            for (; more && running.Count < SideBySide; more = waiting.MoveNext())
            {
                var (clock, run) = waiting.Current;
                running.Add((clock, Task.Run(run)));
            }
            Quiet.Wait();
            for (var i = running.Count - 1; i >= 0; i--)
            {
                var (clock, ended) = running[i];
                if (ended.IsCompleted)
                {
                    results.Add(ended.GetAwaiter().GetResult());
                    running.RemoveAt(i);
                    continue;
                }
                ThreadPool.UnsafeQueueUserWorkItem(static c => c.GoOn(), clock, preferLocal: false);
            }
        }
        return results;
    }
}
