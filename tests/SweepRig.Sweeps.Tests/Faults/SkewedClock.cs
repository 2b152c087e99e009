namespace SweepRig.Sweeps.Tests.Faults;

/// <summary>A clock that goes faster or slower than another by a constant factor, as a wrong crystal or divider makes one.</summary>
internal sealed class SkewedClock(TimeProvider right, double rate) : TimeProvider
{
    public override long TimestampFrequency => right.TimestampFrequency;

    public override long GetTimestamp() => (long)(right.GetTimestamp() * rate);

    public override DateTimeOffset GetUtcNow() => right.GetUtcNow();

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period) => new Skewed(right.CreateTimer(callback, state, In(dueTime), In(period)), this);

    private TimeSpan In(TimeSpan own) => own <= TimeSpan.Zero ? own : own / rate;

    private sealed class Skewed(ITimer timer, SkewedClock clock) : ITimer
    {
        public bool Change(TimeSpan dueTime, TimeSpan period) => timer.Change(clock.In(dueTime), clock.In(period));

        public void Dispose() => timer.Dispose();

        public ValueTask DisposeAsync() => timer.DisposeAsync();
    }
}
