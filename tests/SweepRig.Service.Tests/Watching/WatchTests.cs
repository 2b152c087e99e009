using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain.Watching;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Watching;

namespace SweepRig.Service.Tests.Watching;

public sealed class WatchTests
{
    private static readonly DateTimeOffset Now = new(2026, 11, 26, 3, 0, 0, TimeSpan.Zero);

    private readonly FakeTimeProvider _time = new(Now);
    private readonly List<BenchEvent> _kept = [];
    private volatile bool _away;
    private int _tries;

    [Fact]
    public async Task While_the_store_is_away_events_wait_are_heard_at_once_and_are_kept_in_order_when_it_is_back()
    {
        _away = true;
        var told = new Told();
        await using var watch = new Watch(KeepAsync, [told], _time, NullLogger.Instance);
        for (var i = 0; i < 250; i++) watch.Post(Event(i));
        Assert.Equal(250, told.Events.Count);
        await Eventually.HoldsAsync("the store was tried", () => Volatile.Read(ref _tries) > 0);
        _away = false;
        await Eventually.HoldsAsync("all are kept", () =>
        {
            _time.Advance(TimeSpan.FromSeconds(2));
            lock (_kept) return _kept.Count == 250;
        });
        Assert.Equal(Enumerable.Range(0, 250).Select(i => $"Event {i}."), _kept.Select(e => e.Text));
    }

    [Fact]
    public async Task Of_more_than_can_wait_the_number_is_told()
    {
        _away = true;
        await using var watch = new Watch(KeepAsync, [], _time, NullLogger.Instance);
        watch.Post(Event(0));
        await Eventually.HoldsAsync("the owner has taken what waited", () => Volatile.Read(ref _tries) > 0);
        for (var i = 1; i <= Watch.Capacity + 7; i++) watch.Post(Event(i));
        _away = false;
        await Eventually.HoldsAsync("the loss is told", () =>
        {
            _time.Advance(TimeSpan.FromSeconds(2));
            lock (_kept) return _kept.Any(e => e.Kind == EventKind.EventsLost);
        });
        Assert.Contains("7 events came while", _kept.Single(e => e.Kind == EventKind.EventsLost).Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_waits_is_kept_when_the_service_stops()
    {
        var watch = new Watch(KeepAsync, [], _time, NullLogger.Instance);
        for (var i = 0; i < 20; i++) watch.Post(Event(i));
        await watch.DisposeAsync();
        Assert.Equal(20, _kept.Count);
        watch.Post(Event(20));
        Assert.Equal(20, _kept.Count);
    }

    [Fact]
    public async Task A_store_that_never_comes_back_does_not_keep_the_service_from_stopping()
    {
        _away = true;
        var watch = new Watch(KeepAsync, [], _time, NullLogger.Instance);
        watch.Post(Event(0));
        await watch.DisposeAsync().AsTask().WaitAsync(TimeSpan.FromSeconds(20), TestContext.Current.CancellationToken);
        Assert.Empty(_kept);
    }

    private Task KeepAsync(IReadOnlyList<BenchEvent> events, CancellationToken cancellationToken)
    {
        Interlocked.Increment(ref _tries);
        if (_away) throw new IOException("The server is away.");
        lock (_kept) _kept.AddRange(events);
        return Task.CompletedTask;
    }

    private static BenchEvent Event(int i) => BenchEvent.Of(Now, "north", EventSeverity.Note, EventKind.RigBack, $"Event {i}.");
}
