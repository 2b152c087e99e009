using SweepRig.Domain.Watching;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests;

public abstract class EventStoreTests(PostgresServer? server) : StoreTests(server)
{
    private static readonly DateTimeOffset Evening = new(2026, 11, 26, 21, 0, 0, TimeSpan.Zero);

    [Fact]
    public async Task Events_outlive_the_process_and_come_newest_first_with_all_that_they_carry()
    {
        var trip = Event(3, EventSeverity.Alarm, EventKind.Trip) with { RunId = "run-1", Tube = "SKUA-014", Job = "4" };
        await using (var first = await OpenAsync()) await new EventStore(first).AddAsync([Event(1), Event(2, rig: "second"), trip], Cancel);
        await using var runs = await OpenAsync();
        var found = await new EventStore(runs).ListAsync(new(), 10, Cancel);
        Assert.Equal(3, found.Count);
        Assert.Equal(trip, found[0].Event);
        Assert.Equal([3, 2, 1], found.Select(e => (e.Event.Utc - Evening).TotalMinutes));
        Assert.True(found[0].Number > found[1].Number && found[1].Number > found[2].Number);
        Assert.All(found, e => Assert.False(e.Seen));
    }

    [Fact]
    public async Task An_event_that_is_tried_twice_is_kept_once()
    {
        await using var runs = await OpenAsync();
        var store = new EventStore(runs);
        BenchEvent[] both = [Event(1), Event(2)];
        await store.AddAsync([both[0], both[0]], Cancel);
        await store.AddAsync(both, Cancel);
        Assert.Equal(2, await store.CountAsync(new(), Cancel));
    }

    [Fact]
    public async Task A_choice_leaves_out_what_it_says()
    {
        await using var runs = await OpenAsync();
        var store = new EventStore(runs);
        await store.AddAsync([Event(1), Event(2, EventSeverity.Warning, EventKind.RigGone, "second"), Event(3, EventSeverity.Alarm, EventKind.Trip), Event(4)], Cancel);
        var all = await store.ListAsync(new(), 10, Cancel);
        async Task<string> Minutes(EventChoice choice, int limit = 10) => string.Join(' ', (await store.ListAsync(choice, limit, Cancel)).Select(e => (e.Event.Utc - Evening).TotalMinutes));
        Assert.Equal("3 2", await Minutes(new(Least: EventSeverity.Warning)));
        Assert.Equal("3", await Minutes(new(Kind: EventKind.Trip)));
        Assert.Equal("2", await Minutes(new(Rig: "second")));
        Assert.Equal("4 3", await Minutes(new(AfterNumber: all[2].Number)));
        Assert.Equal("2 1", await Minutes(new(BeforeNumber: all[1].Number)));
        Assert.Equal("4 3", await Minutes(new(FromUtc: Evening.AddMinutes(3))));
        Assert.Equal("2 1", await Minutes(new(UntilUtc: Evening.AddMinutes(3))));
        Assert.Equal("4", await Minutes(new(), limit: 1));
    }

    [Fact]
    public async Task What_was_seen_stays_seen_and_what_comes_later_is_not()
    {
        long upTo;
        await using (var first = await OpenAsync())
        {
            var before = new EventStore(first);
            await before.AddAsync([Event(1), Event(2)], Cancel);
            upTo = (await before.ListAsync(new(), 1, Cancel))[0].Number;
            Assert.Equal(2, await before.MarkSeenAsync(upTo, Cancel));
            Assert.Equal(0, await before.MarkSeenAsync(upTo, Cancel));
            await before.AddAsync([Event(3)], Cancel);
        }
        await using var runs = await OpenAsync();
        var unseen = Assert.Single(await new EventStore(runs).ListAsync(new(Unseen: true), 10, Cancel));
        Assert.True(unseen.Number > upTo);
    }

    [Fact]
    public async Task Another_bench_of_a_shared_store_sees_its_own_events()
    {
        await using var runs = await OpenAsync();
        await new EventStore(runs).AddAsync([Event(1)], Cancel);
        if (!Place.IsShared) return;
        await using var other = await OpenAsync(Place with { DataDirectory = In("other-bench") });
        Assert.Empty(await new EventStore(other).ListAsync(new(), 10, Cancel));
        await new EventStore(other).AddAsync([Event(2)], Cancel);
        Assert.Equal(1, await new EventStore(other).CountAsync(new(), Cancel));
        Assert.Equal(1, await new EventStore(runs).CountAsync(new(), Cancel));
    }

    private static BenchEvent Event(int minute, EventSeverity severity = EventSeverity.Note, EventKind kind = EventKind.RigBack, string? rig = "first") =>
        BenchEvent.Of(Evening.AddMinutes(minute), rig, severity, kind, $"Event of minute {minute}.", "Look at it.");
}

public sealed class EventStoreOnSqliteTests() : EventStoreTests(null);

public sealed class EventStoreOnPostgresTests(PostgresServer server) : EventStoreTests(server);
