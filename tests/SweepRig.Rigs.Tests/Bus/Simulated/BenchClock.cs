namespace SweepRig.Rigs.Tests.Bus.Simulated;

/// <summary>
/// Time that the simulated buses spend: each transaction takes as long as its bits do, and a wait for a timer takes no time at all but to move the clock there. Nothing
/// is ever slept through.
/// </summary>
/// <param name="real">True for the system's own clock instead, where the chips take their real time and the bytes none.</param>
internal sealed class BenchClock(bool real = false) : TimeProvider
{
    private static readonly DateTimeOffset Start = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);

    // Taken for each look at the clock; no callback runs while it is held.
    private readonly Lock _lock = new();
    private readonly List<BenchTimer> _armed = [];
    private long _ticks;

    private readonly long _began = System.GetTimestamp();

    public override long TimestampFrequency => real ? System.TimestampFrequency : TimeSpan.TicksPerSecond;

    public long Microseconds => real ? (long)System.GetElapsedTime(_began).TotalMicroseconds : GetTimestamp() / TimeSpan.TicksPerMicrosecond;

    public override long GetTimestamp()
    {
        if (real) return System.GetTimestamp();
        lock (_lock) return _ticks;
    }

    public override DateTimeOffset GetUtcNow() => real ? System.GetUtcNow() : Start + TimeSpan.FromTicks(GetTimestamp());

    /// <summary>Something on the bench has taken so long.</summary>
    public void Spend(double microseconds)
    {
        if (real) return;
        lock (_lock) _ticks += (long)(microseconds * TimeSpan.TicksPerMicrosecond);
        Fire();
    }

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        if (real) return System.CreateTimer(callback, state, dueTime, period);
        var timer = new BenchTimer(this, callback, state);
        timer.Change(dueTime, period);
        return timer;
    }

    private void Arm(BenchTimer timer, TimeSpan due)
    {
        lock (_lock)
        {
            _armed.Remove(timer);
            if (due != Timeout.InfiniteTimeSpan)
            {
                timer.DueTicks = _ticks + Math.Max(0, due.Ticks);
                _armed.Add(timer);
            }
        }
        Fire();
    }

    private void Fire()
    {
        while (true)
        {
            BenchTimer next;
            lock (_lock)
            {
                if (_armed.Count == 0) return;
                next = _armed.MinBy(t => t.DueTicks)!;
                _armed.Remove(next);
                _ticks = Math.Max(_ticks, next.DueTicks);
            }
            ThreadPool.QueueUserWorkItem(_ => next.Call());
        }
    }

    private sealed class BenchTimer(BenchClock clock, TimerCallback callback, object? state) : ITimer
    {
        public long DueTicks { get; set; }

        public void Call() => callback(state);

        public bool Change(TimeSpan dueTime, TimeSpan period)
        {
            clock.Arm(this, dueTime);
            return true;
        }

        public void Dispose() => clock.Arm(this, Timeout.InfiniteTimeSpan);

        public ValueTask DisposeAsync()
        {
            Dispose();
            return ValueTask.CompletedTask;
        }
    }
}
