namespace SweepRig.Wire.Campaign;

/// <summary>Many sweeps over bad lines, a number of them side by side, as fast as the machine can.</summary>
public static class FaultCampaign
{
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

    private static Task<IReadOnlyList<SweepVerdict>> RunAsync(IEnumerable<FaultySweep> sweeps) =>
        OnVirtualTime.RunAsync(sweeps.Select(s => (s.Clock, (Func<Task<SweepVerdict>>)(() => FaultySweep.RunAsync(s)))));
}
