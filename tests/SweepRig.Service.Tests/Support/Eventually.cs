using System.Diagnostics;

namespace SweepRig.Service.Tests.Support;

/// <summary>Waits for a condition that gives no event; looks every few milliseconds and fails at a deadline.</summary>
public static class Eventually
{
    public static Task HoldsAsync(string what, Func<bool> condition) => HoldsAsync(what, () => Task.FromResult(condition()));

    public static async Task HoldsAsync(string what, Func<Task<bool>> condition)
    {
        var clock = Stopwatch.StartNew();
        while (!await condition())
        {
            Assert.True(clock.Elapsed < TimeSpan.FromSeconds(30), $"Waited in vain: {what}.");
            await Task.Delay(TimeSpan.FromMilliseconds(5), TimeProvider.System, TestContext.Current.CancellationToken);
        }
    }
}
