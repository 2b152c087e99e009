using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain.Watching;
using SweepRig.Service.Watching;

namespace SweepRig.Service.Tests.Watching;

public sealed class HouseWatcherTests
{
    private readonly FakeTimeProvider _time = new();
    private readonly Told _told = new();
    private long? _free = 50L << 30;
    private (long, string?) _waiting;

    [Fact]
    public async Task A_disk_that_fills_is_told_at_each_limit_once_and_again_when_there_is_room()
    {
        await using var watcher = new HouseWatcher(_told, _time, () => _free, () => _waiting);
        watcher.Start();
        foreach (var free in new long?[] { 2L << 30, 900L << 20, 800L << 20, null, 90L << 20, 80L << 20, 150L << 20, 1100L << 20, 2L << 30 })
        {
            _free = free;
            _time.Advance(TimeSpan.FromSeconds(10));
        }
        Assert.Equal(
            [(EventSeverity.Warning, EventKind.DiskLow), (EventSeverity.Alarm, EventKind.DiskLow), (EventSeverity.Note, EventKind.DiskEnough)],
            _told.Events.Select(e => (e.Severity, e.Kind)));
        Assert.StartsWith("943 MB are left", _told.Events[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_store_that_goes_away_and_comes_back_is_told_twice()
    {
        await using var watcher = new HouseWatcher(_told, _time, () => _free, () => _waiting);
        watcher.Start();
        foreach (var waiting in new[] { 0, 3, 40, 0, 0 })
        {
            _waiting = (waiting, "/data/waiting");
            _time.Advance(TimeSpan.FromSeconds(10));
        }
        Assert.Equal([EventKind.StoreAway, EventKind.StoreBack], _told.Events.Select(e => e.Kind));
        Assert.Contains("3 writes wait in /data/waiting", _told.Events[0].Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(3600, "The computer's clock went forward by 60 min beside the time that passed.")]
    [InlineData(-7230, "The computer's clock went back by 120 min 30 s beside the time that passed.")]
    public async Task A_clock_that_is_set_is_told_once(int seconds, string expected)
    {
        var clock = new SetClock(_time);
        await using var watcher = new HouseWatcher(_told, clock, () => _free, () => _waiting);
        watcher.Start();
        for (var i = 0; i < 5; i++) _time.Advance(TimeSpan.FromSeconds(10));
        clock.Set += TimeSpan.FromSeconds(seconds);
        for (var i = 0; i < 5; i++) _time.Advance(TimeSpan.FromSeconds(10));
        var told = Assert.Single(_told.Events);
        Assert.Equal((EventSeverity.Warning, EventKind.ClockTrouble, expected), (told.Severity, told.Kind, told.Text));
    }

    [Fact]
    public async Task A_clock_that_is_slewed_is_not_told()
    {
        var clock = new SetClock(_time);
        await using var watcher = new HouseWatcher(_told, clock, () => _free, () => _waiting);
        watcher.Start();
        // adjtimex(2): 500 ppm at most.
        for (var i = 0; i < 1_000; i++)
        {
            _time.Advance(TimeSpan.FromSeconds(10));
            clock.Set += TimeSpan.FromMilliseconds(5);
        }
        Assert.Empty(_told.Events);
    }

    /// <summary>The computer's clock, which may be set; its steady clock goes on as it was.</summary>
    private sealed class SetClock(FakeTimeProvider steady) : TimeProvider
    {
        public TimeSpan Set { get; set; }

        public override DateTimeOffset GetUtcNow() => steady.GetUtcNow() + Set;

        public override long TimestampFrequency => steady.TimestampFrequency;

        public override long GetTimestamp() => steady.GetTimestamp();

        public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period) => steady.CreateTimer(callback, state, dueTime, period);
    }
}
