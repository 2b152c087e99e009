using System.Threading.Channels;
using Microsoft.Extensions.Time.Testing;

namespace SweepRig.Rigs.Tests.Link;

/// <summary>A clock that stands still, and says when someone has begun to wait on it, so that a test never moves it too early.</summary>
internal sealed class WatchedClock : FakeTimeProvider
{
    private readonly Channel<TimeSpan> waits = Channel.CreateUnbounded<TimeSpan>();

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        var timer = base.CreateTimer(callback, state, dueTime, period);
        waits.Writer.TryWrite(dueTime);
        return timer;
    }

    /// <summary>Waits until someone waits for just so long, then lets that time pass.</summary>
    public async Task PassAsync(TimeSpan wait)
    {
        while (await waits.Reader.ReadAsync().AsTask().WaitAsync(Deadline.Time) != wait)
        {
        }
        Advance(wait);
    }
}
