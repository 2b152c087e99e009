using SweepRig.Domain.Watching;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Watching;

public sealed class AlarmGatheringTests
{
    private static readonly DateTimeOffset Start = new(2026, 11, 26, 2, 0, 0, TimeSpan.Zero);

    [Fact]
    public void The_first_of_a_kind_goes_out_at_once_and_more_of_it_as_one_message_with_their_number()
    {
        var gathering = new AlarmGathering(TimeSpan.FromMinutes(10), 12);
        var first = gathering.Hear(Event(0, "north"), Start);
        Assert.Equal(0, Assert.Single(first!.Lines).More);
        for (var i = 1; i <= 7; i++) Assert.Null(gathering.Hear(Event(i, "north", i == 5 ? EventSeverity.Alarm : EventSeverity.Warning), Start.AddMinutes(i)));
        Assert.Null(gathering.Due(Start.AddMinutes(9.9)));
        Assert.Equal(Start.AddMinutes(10), gathering.NextDue(Start.AddMinutes(9.9)));
        var line = Assert.Single(gathering.Due(Start.AddMinutes(10))!.Lines);
        Assert.Equal((6, EventSeverity.Alarm, "Event 5."), (line.More, line.Event.Severity, line.Event.Text));
        // At rest for a whole time, the kind is as new again.
        Assert.Null(gathering.Due(Start.AddMinutes(20)));
        Assert.Null(gathering.NextDue(Start.AddMinutes(20)));
        Assert.NotNull(gathering.Hear(Event(8, "north"), Start.AddMinutes(21)));
    }

    [Fact]
    public void Another_kind_and_another_rig_do_not_wait_for_it()
    {
        var gathering = new AlarmGathering(TimeSpan.FromMinutes(10), 12);
        Assert.NotNull(gathering.Hear(Event(0, "north"), Start));
        Assert.NotNull(gathering.Hear(Event(1, "south"), Start));
        Assert.NotNull(gathering.Hear(Event(2, "north", kind: EventKind.Drift), Start));
    }

    /// <summary>A rig with a loose plug on each of eight stations, all night: every event is counted in some message, and no hour has more than the limit.</summary>
    [Fact]
    public void A_storm_stays_within_its_limit_and_nothing_is_left_out_of_the_counts()
    {
        var random = new Random(7);
        var gathering = new AlarmGathering(TimeSpan.FromMinutes(2), 5);
        var (told, heard) = (0, 0);
        var sent = new List<DateTimeOffset>();
        void Take(AlarmMessage? message)
        {
            if (message is null) return;
            told += message.Lines.Sum(l => 1 + l.More);
            sent.Add(message.Utc);
        }
        var now = Start;
        for (; now < Start.AddHours(8); now += TimeSpan.FromSeconds(random.Next(1, 10)))
        {
            Take(gathering.Hear(Event(heard++, $"rig-{random.Next(8)}", kind: random.Next(2) == 0 ? EventKind.RigGone : EventKind.Trip), now));
            Take(gathering.Due(now));
        }
        while (gathering.NextDue(now) is { } next)
        {
            now = next;
            Take(gathering.Due(now));
        }
        Assert.True(heard > 4000);
        Assert.Equal(heard, told);
        for (var i = 5; i < sent.Count; i++) Assert.True(sent[i] - sent[i - 5] >= TimeSpan.FromHours(1), $"{sent[i - 5]:T} and {sent[i]:T}");
        Assert.InRange(sent.Count, 40, 50);
    }

    private static BenchEvent Event(int i, string rig, EventSeverity severity = EventSeverity.Warning, EventKind kind = EventKind.RigGone) => BenchEvent.Of(Start.AddSeconds(i), rig, severity, kind, $"Event {i}.");
}
