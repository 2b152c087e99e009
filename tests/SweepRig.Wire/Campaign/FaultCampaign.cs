namespace SweepRig.Wire.Campaign;

/// <summary>Many sweeps over bad lines, a number of them side by side, as fast as the machine can.</summary>
public static class FaultCampaign
{
    private const int SideBySide = 48;

    public static IReadOnlyList<FaultKind> Kinds { get; } = Enum.GetValues<FaultKind>();

    /// <summary>Sweeps in turn of all kinds, seeds from 1.</summary>
    public static IEnumerable<(FaultKind Kind, int Seed)> Sweeps(int count) =>
        Enumerable.Range(0, count).Select(i => (Kinds[i % Kinds.Count], 1 + i / Kinds.Count));

    /// <summary>Runs them on the thread pool, which must have nothing else to do: their clocks go on when it rests.</summary>
    public static Task<IReadOnlyList<SweepVerdict>> RunAsync(IEnumerable<(FaultKind Kind, int Seed)> sweeps) =>
        RunAsync(sweeps.Select(s => new FaultySweep(s.Kind, s.Seed)));

    /// <summary>
    /// One of them again, telling what happens. Rates, plan and what befalls the n-th frame are the same; the number that a host draws for its session, and the
    /// order of what two tasks do at one moment, are not.
    /// </summary>
    public static async Task<SweepVerdict> ReplayAsync(FaultKind kind, int seed, Action<string> tell) =>
        (await RunAsync([new FaultySweep(kind, seed, tell)]).ConfigureAwait(false))[0];

    private static Task<IReadOnlyList<SweepVerdict>> RunAsync(IEnumerable<FaultySweep> sweeps)
    {
        var done = new TaskCompletionSource<IReadOnlyList<SweepVerdict>>(TaskCreationOptions.RunContinuationsAsynchronously);
        new Thread(() =>
        {
            try
            {
                done.SetResult(Run(sweeps));
            }
            catch (Exception e)
            {
                done.SetException(e);
            }
        }) { IsBackground = true, Name = "campaign" }.Start();
        return done.Task;
    }

    private static List<SweepVerdict> Run(IEnumerable<FaultySweep> sweeps)
    {
        List<SweepVerdict> verdicts = [];
        List<(FaultySweep Sweep, Task<SweepVerdict> Ended)> running = [];
        using var waiting = sweeps.GetEnumerator();
        var more = waiting.MoveNext();
        while (more || running.Count > 0)
        {
            for (; more && running.Count < SideBySide; more = waiting.MoveNext())
            {
                var sweep = waiting.Current;
                running.Add((sweep, Task.Run(() => FaultySweep.RunAsync(sweep))));
            }
            Quiet.Wait();
            for (var i = running.Count - 1; i >= 0; i--)
            {
                var (sweep, ended) = running[i];
                if (ended.IsCompleted)
                {
                    verdicts.Add(ended.GetAwaiter().GetResult());
                    running.RemoveAt(i);
                    continue;
                }
                ThreadPool.UnsafeQueueUserWorkItem(static clock => clock.GoOn(), sweep.Clock, preferLocal: false);
            }
        }
        return verdicts;
    }
}
