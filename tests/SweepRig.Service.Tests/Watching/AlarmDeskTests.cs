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
    private Outcome<AlarmConfig>? _changed;

    public void Dispose() => _data.Dispose();

    private AlarmDesk Desk(params AlarmRule[] rules)
    {
        AlarmWay[] ways = [new AlarmWay.Command("phone", TimeSpan.FromSeconds(10), "/bin/ring", []), new AlarmWay.Command("bell", TimeSpan.FromSeconds(10), "/bin/ring", [])];
        var config = new AlarmConfig(ways, rules, 12, TimeSpan.FromMinutes(10), null, null);
        return new(Outcome<AlarmConfig>.Accept(config), () => Interlocked.Exchange(ref _changed, null), new AlarmJournal(_data.Path, NullLogger.Instance), SendAsync, () => _told, _time);
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
            Outcome<AlarmConfig>.Accept(config), () => null, new AlarmJournal(_data.Path, NullLogger.Instance), (w, m, c) => w.Name == "phone" ? never.Task.WaitAsync(c) : SendAsync(w, m, c), () => _told, _time))
        {
            desk.Hear(Event(EventSeverity.Alarm, EventKind.Trip, "north"));
            await Eventually.HoldsAsync("the other way has it", () => Of("bell").Any());
            Assert.Equal("phone", Assert.Single(desk.Journal.Pending).Way);
        }
        never.SetResult();
    }

    [Fact]
    public async Task A_changed_file_is_in_force_at_once_and_what_was_on_its_way_is_not_lost()
    {
        _answer = way => way == "phone" ? new AlarmFailedException("answered 503", isFinal: false) : null;
        await using var desk = Desk(new AlarmRule(EventSeverity.Warning, [], [], ["phone"]));
        desk.Hear(Event(EventSeverity.Alarm, EventKind.Trip, "north"));
        await Eventually.HoldsAsync("it waits to be tried again", () => desk.Journal.Pending is [{ Tries: > 0 }]);
        _answer = _ => null;
        AlarmWay[] ways = [new AlarmWay.Command("phone", TimeSpan.FromSeconds(10), "/bin/ring", ["--loud"]), new AlarmWay.Command("gong", TimeSpan.FromSeconds(10), "/bin/gong", [])];
        Change(Outcome<AlarmConfig>.Accept(new(ways, [new(EventSeverity.Warning, [], [], ["gong"])], 12, TimeSpan.FromMinutes(10), null, null)));
        await Eventually.HoldsAsync("the change is told", () => _told.Events.Count == 1);
        Assert.Equal((EventKind.AlarmsChanged, "alarms.json was changed and is in force: alarms go by phone, gong."), (_told.Events[0].Kind, _told.Events[0].Text));
        desk.Hear(Event(EventSeverity.Alarm, EventKind.RigGone, "north"));
        await Eventually.HoldsAsync("the new way has it, and the old message is there too", () => Of("gong").Contains("rig-gone north") && Of("phone").Contains("trip north"));
        Assert.Equal(["phone", "gong"], desk.Config.Ways.Select(w => w.Name));
        Assert.Empty(desk.Faults);
    }

    [Fact]
    public async Task A_changed_file_that_cannot_be_used_leaves_in_force_what_was_and_is_told()
    {
        await using var desk = Desk(new AlarmRule(EventSeverity.Warning, [], [], ["phone"]));
        Change(AlarmDocument.Parse("{ \"format\": \"alarms/1\", \"ways\": 7 }"));
        await Eventually.HoldsAsync("it is told", () => _told.Events.Count == 1);
        Assert.Equal(EventKind.AlarmsUnusable, _told.Events[0].Kind);
        Assert.Contains("what it said before is in force", _told.Events[0].Text, StringComparison.Ordinal);
        Assert.NotEmpty(desk.Faults);
        desk.Hear(Event(EventSeverity.Alarm, EventKind.Trip, "north"));
        await Eventually.HoldsAsync("the old way has it", () => Of("phone").Any());
    }

    [Fact]
    public void A_file_is_read_again_when_it_was_written_taken_away_or_put_there()
    {
        var file = new AlarmFile(_data.Path);
        Assert.Empty(file.Read().Value!.Ways);
        Assert.Null(file.ReadIfChanged());
        var path = _data.File(AlarmDocument.FileName);
        File.WriteAllText(path, AlarmDocument.Example);
        Assert.Equal(3, file.ReadIfChanged()!.Value!.Ways.Count);
        Assert.Null(file.ReadIfChanged());
        File.WriteAllText(path, AlarmDocument.Example.Replace("\"mostPerHour\": 12", "\"mostPerHour\": 0", StringComparison.Ordinal));
        Assert.Equal("/mostPerHour", file.ReadIfChanged()!.Refusals[0].Path);
        File.Delete(path);
        Assert.Empty(file.ReadIfChanged()!.Value!.Ways);
    }

    private void Change(Outcome<AlarmConfig> to)
    {
        Volatile.Write(ref _changed, to);
        _time.Advance(AlarmDesk.LookEvery);
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
