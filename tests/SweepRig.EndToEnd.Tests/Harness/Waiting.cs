using System.Diagnostics;

namespace SweepRig.EndToEnd.Tests.Harness;

/// <summary>Waits for a condition in another process, where no event can be had; looks every 20 ms and gives up at a deadline.</summary>
public static class Waiting
{
    public static async Task<T> ForAsync<T>(string what, TimeSpan limit, Func<Task<T?>> probe)
        where T : class
    {
        var clock = Stopwatch.StartNew();
        while (true)
        {
            if (await probe() is { } found) return found;
            if (clock.Elapsed > limit) throw new TimeoutException($"Waited {limit.TotalSeconds:0.#} s in vain for {what}.");
            await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System);
        }
    }

    public static Task UntilAsync(string what, TimeSpan limit, Func<Task<bool>> probe) =>
        ForAsync(what, limit, async () => await probe() ? "yes" : null);
}
