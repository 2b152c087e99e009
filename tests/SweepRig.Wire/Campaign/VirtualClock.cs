namespace SweepRig.Wire.Campaign;

/// <summary>A clock that stands still until it is told to go on to the next timer. Safe from any thread.</summary>
/// <param name="begins">What its calendar says at the begin.</param>
/// <param name="grain">Timers ring at the next multiple of this, as those of a system with a coarse clock do; zero lets each ring at its very moment.</param>
public sealed class VirtualClock(DateTimeOffset begins, TimeSpan grain = default) : TimeProvider
{
    private readonly Lock _lock = new();
    private readonly PriorityQueue<(Timer Timer, long Version), (long DueAt, long Order)> _timers = new();
    private long _now;
    private long _order;
    private long _jumped;

    public VirtualClock()
        : this(new DateTimeOffset(2026, 3, 1, 0, 0, 0, TimeSpan.Zero))
    {
    }

    /// <summary>Time since it was made.</summary>
    public TimeSpan Elapsed => new(Interlocked.Read(ref _now));

    public override long TimestampFrequency => TimeSpan.TicksPerSecond;

    public override long GetTimestamp() => Interlocked.Read(ref _now);

    public override DateTimeOffset GetUtcNow() => begins + Elapsed + new TimeSpan(Interlocked.Read(ref _jumped));

    /// <summary>Sets the calendar, as a hand or a time server would; timers and timestamps do not notice.</summary>
    public void Jump(TimeSpan by) => Interlocked.Add(ref _jumped, by.Ticks);

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        var timer = new Timer(this, callback, state);
        timer.Change(dueTime, period);
        return timer;
    }

    /// <summary>Goes on to the next timer that is due and lets it ring, with all that are due at the same moment.</summary>
    /// <returns>False if no timer is set.</returns>
    public bool GoOn()
    {
        List<Timer> ringing = [];
        lock (_lock)
        {
            while (_timers.TryPeek(out var next, out var due) && (ringing.Count == 0 || due.DueAt <= _now))
            {
                _timers.Dequeue();
                if (next.Version != next.Timer.Version) continue;
                Interlocked.Exchange(ref _now, Math.Max(_now, due.DueAt));
                ringing.Add(next.Timer);
                next.Timer.Rewind(_now);
            }
        }
        foreach (var timer in ringing) timer.Ring();
        return ringing.Count > 0;
    }

    private long Rung(long due) => grain <= TimeSpan.Zero ? due : (due + grain.Ticks - 1) / grain.Ticks * grain.Ticks;

    private sealed class Timer(VirtualClock clock, TimerCallback callback, object? state) : ITimer
    {
        private TimeSpan _period = Timeout.InfiniteTimeSpan;

        public long Version { get; private set; }

        public bool Change(TimeSpan dueTime, TimeSpan period)
        {
            lock (clock._lock)
            {
                _period = period;
                Set(dueTime, clock._now);
            }
            return true;
        }

        public void Rewind(long now) => Set(_period > TimeSpan.Zero ? _period : Timeout.InfiniteTimeSpan, now);

        public void Ring() => callback(state);

        public void Dispose() => Change(Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);

        public ValueTask DisposeAsync()
        {
            Dispose();
            return ValueTask.CompletedTask;
        }

        private void Set(TimeSpan dueTime, long now)
        {
            Version++;
            if (dueTime != Timeout.InfiniteTimeSpan) clock._timers.Enqueue((this, Version), (clock.Rung(now + dueTime.Ticks), clock._order++));
        }
    }
}
