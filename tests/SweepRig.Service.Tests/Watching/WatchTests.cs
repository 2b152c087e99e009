using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain.Logging;
using SweepRig.Domain.Watching;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Watching;

namespace SweepRig.Service.Tests.Watching;

public sealed class WatchTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2026, 11, 26, 3, 0, 0, TimeSpan.Zero);

    private readonly TemporaryData _data = new();
    private readonly FakeTimeProvider _time = new(Now);
    private readonly List<BenchEvent> _kept = [];
    private volatile bool _away;
    private int _tries;

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task While_the_store_is_away_events_wait_are_heard_at_once_and_are_kept_in_order_when_it_is_back()
    {
        _away = true;
        var told = new Told();
        await using var watch = Watching(told);
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
        await using var watch = Watching();
        watch.Post(Event(0));
        await Eventually.HoldsAsync("the owner has taken what waited", () => Volatile.Read(ref _tries) > 0);
        for (var i = 1; i <= Watch.Capacity + 6; i++) watch.Post(Event(i));
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
        var watch = Watching();
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
        var watch = Watching();
        watch.Post(Event(0));
        await watch.DisposeAsync().AsTask().WaitAsync(TimeSpan.FromSeconds(20), TestContext.Current.CancellationToken);
        Assert.Empty(_kept);
    }

    [Fact]
    public async Task What_waits_when_the_service_is_killed_the_next_one_brings_to_the_store_once_and_in_order()
    {
        _away = true;
        // Left alone, as the kernel leaves a process that is killed.
        var killed = Watching();
        for (var i = 0; i < 250; i++) killed.Post(Event(i));
        await Eventually.HoldsAsync("all are in the file", () =>
        {
            _time.Advance(TimeSpan.FromSeconds(2));
            return Lines() == 250;
        });
        _away = false;
        await using var next = Watching();
        next.Post(Event(250));
        await Eventually.HoldsAsync("all are kept", () => Kept().Count == 251);
        Assert.Equal(Enumerable.Range(0, 251).Select(i => $"Event {i}."), Kept().Select(e => e.Text));
        Assert.Equal((EventKind.RigBack, "north", Now), (Kept()[7].Kind, Kept()[7].Rig, Kept()[7].Utc));
        await Eventually.HoldsAsync("the file is gone", () => !File.Exists(Place));
    }

    [Fact]
    public async Task A_line_that_the_power_cut_in_two_costs_that_line()
    {
        new EventsWaiting(_data.Path).Add([Event(0), Event(1)]);
        await using (var file = new FileStream(Place, FileMode.Open)) file.SetLength(file.Length - 9);
        new EventsWaiting(_data.Path).Add([Event(2)]);
        var (events, damaged) = new EventsWaiting(_data.Path).Read();
        Assert.Equal(["Event 0.", "Event 2."], events.Select(e => e.Text));
        Assert.Equal(1, damaged);
        await using var watch = Watching();
        await Eventually.HoldsAsync("both are kept", () => Kept().Count == 2);
        await Eventually.HoldsAsync("the file is gone", () => !File.Exists(Place));
    }

    [Fact]
    public async Task Where_the_disk_takes_nothing_either_the_log_says_how_many_would_be_lost()
    {
        _away = true;
        Directory.CreateDirectory(Place);
        var log = new KeptLog();
        await using var watch = Watching(logger: log);
        for (var i = 0; i < 3; i++) watch.Post(Event(i));
        await Eventually.HoldsAsync("the log says it", () =>
        {
            _time.Advance(TimeSpan.FromSeconds(2));
            return log.Lines.Any(l => l.Id == LogEvents.EventsInMemory && l.Message.StartsWith("3 events wait in memory alone, and are lost if the service dies", StringComparison.Ordinal));
        });
        _away = false;
        await Eventually.HoldsAsync("all are kept", () =>
        {
            _time.Advance(TimeSpan.FromSeconds(2));
            return Kept().Count == 3;
        });
    }

    private string Place => Path.Combine(_data.Path, EventsWaiting.FileName);

    private int Lines() => File.Exists(Place) ? File.ReadLines(Place).Count(l => l.Length > 0) : 0;

    private IReadOnlyList<BenchEvent> Kept()
    {
        lock (_kept) return [.. _kept];
    }

    private Watch Watching(IEventListener? listener = null, ILogger? logger = null) =>
        new(KeepAsync, new(_data.Path), listener is null ? [] : [listener], _time, logger ?? NullLogger.Instance);

    private Task KeepAsync(IReadOnlyList<BenchEvent> events, CancellationToken cancellationToken)
    {
        Interlocked.Increment(ref _tries);
        if (_away) throw new IOException("The server is away.");
        lock (_kept) _kept.AddRange(events);
        return Task.CompletedTask;
    }

    private static BenchEvent Event(int i) => BenchEvent.Of(Now, "north", EventSeverity.Note, EventKind.RigBack, $"Event {i}.");
}
