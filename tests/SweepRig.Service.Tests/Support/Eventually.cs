using System.Diagnostics;

namespace SweepRig.Service.Tests.Support;

/// <summary>Waits for a condition that gives no event; looks every few milliseconds and fails at a deadline.</summary>
public static class Eventually
{
    private static readonly TimeSpan Usual = TimeSpan.FromSeconds(30);

    public static Task HoldsAsync(string what, Func<bool> condition, TimeSpan? within = null) => HoldsAsync(what, () => Task.FromResult(condition()), within);

    public static async Task HoldsAsync(string what, Func<Task<bool>> condition, TimeSpan? within = null)
    {
        var clock = Stopwatch.StartNew();
        while (!await condition())
        {
            Assert.True(clock.Elapsed < (within ?? Usual), $"Waited in vain: {what}.");
            await Task.Delay(TimeSpan.FromMilliseconds(5), TimeProvider.System, TestContext.Current.CancellationToken);
        }
    }
}
