using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using SweepRig.Domain;
using SweepRig.Domain.Watching;
using SweepRig.Service.Live;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Watching;

public sealed class AlarmDeskTests : IDisposable
{
    private static readonly DateTimeOffset Start = new(2026, 11, 26, 2, 0, 0, TimeSpan.Zero);

    private readonly TemporaryData _data = new();
    private readonly FakeTimeProvider _time = new(Start);
    private readonly Told _told = new();
    private readonly List<(string Way, AlarmMessage Message)> _sent = [];
    private Func<string, AlarmFailedException?> _answer = _ => null;

    public void Dispose() => _data.Dispose();

    private AlarmDesk Desk(params AlarmRule[] rules)
    {
        AlarmWay[] ways = [new AlarmWay.Command("phone", TimeSpan.FromSeconds(10), "/bin/ring", []), new AlarmWay.Command("bell", TimeSpan.FromSeconds(10), "/bin/ring", [])];
        var config = new AlarmConfig(ways, rules, 12, TimeSpan.FromMinutes(10), null, null);
        return new(Outcome<AlarmConfig>.Accept(config), new AlarmJournal(_data.Path, NullLogger.Instance), SendAsync, () => _told, _time);
    }

    [Fact]
    public async Task Rules_say_what_goes_where_and_each_event_goes_a_way_once()
    {
        await using var desk = Desk(
            new(EventSeverity.Warning, [], [], ["phone"]), new(EventSeverity.Note, [EventKind.Trip], [], ["phone", "bell"]), new(EventSeverity.Warning, [], ["south"], ["bell"]));
        desk.Hear(Event(EventSeverity.Note, EventKind.RigBack, "north"));
        desk.Hear(Event(EventSeverity.Warning, EventKind.RigGone, "north"));
        desk.Hear(Event(EventSeverity.Alarm, EventKind.Trip, "north"));
        desk.Hear(Event(EventSeverity.Warning, EventKind.RigGone, "south"));
        desk.Hear(Event(EventSeverity.Warning, EventKind.DiskLow, null));
        await Eventually.HoldsAsync("all are sent", () => Sent.Count == 7);
        Assert.Equal(["rig-gone north", "trip north", "rig-gone south", "disk-low "], Of("phone"));
        Assert.Equal(["trip north", "rig-gone south", "disk-low "], Of("bell"));
    }

    [Fact]
    public async Task A_storm_becomes_one_message_and_one_summary()
    {
        await using var desk = Desk(new AlarmRule(EventSeverity.Warning, [], [], ["phone"]));
        for (var i = 0; i < 50; i++) desk.Hear(Event(EventSeverity.Warning, EventKind.RigGone, "north"));
        await Eventually.HoldsAsync("the first is sent", () => Sent.Count == 1);
        await Eventually.HoldsAsync("all are told", () =>
        {
            _time.Advance(TimeSpan.FromMinutes(1));
            return Sent.Sum(s => s.Message.Lines.Sum(l => 1 + l.More)) == 50;
        });
        // Two, or one more if the desk was still hearing when the first time was over.
        Assert.InRange(Sent.Count, 2, 3);
    }

    [Fact]
    public async Task A_way_that_fails_is_told_to_the_watch_and_by_the_other_ways_and_not_along_itself()
    {
        _answer = way => way == "phone" ? new AlarmFailedException("answered 404", isFinal: true) : null;
        await using var desk = Desk(new AlarmRule(EventSeverity.Warning, [], [], ["phone", "bell"]));
        desk.Hear(Event(EventSeverity.Alarm, EventKind.Trip, "north"));
        await Eventually.HoldsAsync("the other way tells of it", () => Of("bell").Count() == 2);
        Assert.Equal(["trip north", "alarm-not-delivered "], Of("bell"));
        var told = Assert.Single(_told.Events);
        Assert.Contains("by phone, answered 404. It said: alarm at north", told.Text, StringComparison.Ordinal);
        // What the watch then hands to its listeners is not heard a second time.
        desk.Hear(told);
        desk.Hear(Event(EventSeverity.Alarm, EventKind.Drift, "north"));
        await Eventually.HoldsAsync("the next is sent", () => Of("bell").Count() == 3);
        Assert.Equal("drift north", Of("bell").Last());
        Assert.Empty(Of("phone"));
    }

    [Fact]
    public async Task One_way_that_hangs_holds_up_no_other()
    {
        var never = new TaskCompletionSource();
        AlarmWay[] ways = [new AlarmWay.Command("phone", TimeSpan.FromMinutes(1), "/bin/ring", []), new AlarmWay.Command("bell", TimeSpan.FromMinutes(1), "/bin/ring", [])];
        var config = new AlarmConfig(ways, [new(EventSeverity.Note, [], [], ["phone", "bell"])], 12, TimeSpan.FromMinutes(10), null, null);
        await using (var desk = new AlarmDesk(
            Outcome<AlarmConfig>.Accept(config), new AlarmJournal(_data.Path, NullLogger.Instance), (w, m, c) => w.Name == "phone" ? never.Task.WaitAsync(c) : SendAsync(w, m, c), () => _told, _time))
        {
            desk.Hear(Event(EventSeverity.Alarm, EventKind.Trip, "north"));
            await Eventually.HoldsAsync("the other way has it", () => Of("bell").Any());
            Assert.Equal("phone", Assert.Single(desk.Journal.Pending).Way);
        }
        never.SetResult();
    }

    private IReadOnlyList<(string Way, AlarmMessage Message)> Sent
    {
        get
        {
            lock (_sent) return [.. _sent];
        }
    }

    private IEnumerable<string> Of(string way) =>
        Sent.Where(s => s.Way == way).SelectMany(s => s.Message.Lines).Select(l => $"{BenchViews.Word(l.Event.Kind)} {l.Event.Rig}");

    private Task SendAsync(AlarmWay way, AlarmMessage message, CancellationToken cancellationToken)
    {
        if (_answer(way.Name) is { } failure) throw failure;
        lock (_sent) _sent.Add((way.Name, message));
        return Task.CompletedTask;
    }

    private static BenchEvent Event(EventSeverity severity, EventKind kind, string? rig) => BenchEvent.Of(Start, rig, severity, kind, "Something happened.");
}
