using SweepRig.Domain.Watching;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>
/// Keeps a storm of events from becoming a storm of messages on one way: the first of a kind at a rig goes out at once; what comes of that kind within a time is counted, and goes out as one
/// message when the time is over; and no more than so many messages go out in an hour, what is due beyond that waits and goes out together. Nothing is left out of the counts. Not safe
/// from several threads.
/// </summary>
/// <param name="gather">How long after a message of a kind more of it are counted.</param>
/// <param name="mostPerHour">Messages in any hour, 1 or more.</param>
public sealed class AlarmGathering(TimeSpan gather, int mostPerHour)
{
    private static readonly TimeSpan Hour = TimeSpan.FromHours(1);

    private readonly Dictionary<(EventKind, string?), Held> _held = [];
    private readonly Queue<DateTimeOffset> _sent = [];

    /// <summary>A kind at a rig, from its first message on.</summary>
    private sealed record Held(DateTimeOffset Until, BenchEvent? First, int More);

    /// <returns>The message that is to go out now; null when the event waits.</returns>
    public AlarmMessage? Hear(BenchEvent one, DateTimeOffset now)
    {
        var key = (one.Kind, one.Rig);
        if (_held.TryGetValue(key, out var held))
        {
            // The worst of those that wait is the one that is told in full.
            _held[key] = held.First is null ? held with { First = one } : held with { First = one.Severity > held.First.Severity ? one : held.First, More = held.More + 1 };
            return null;
        }
        if (!MaySend(now))
        {
            _held[key] = new(now, one, 0);
            return null;
        }
        _held[key] = new(now + gather, null, 0);
        return Sent(now, [new(one, 0)]);
    }

    /// <summary>What has waited long enough, all in one message; null for nothing.</summary>
    public AlarmMessage? Due(DateTimeOffset now)
    {
        if (!MaySend(now)) return null;
        var lines = new List<AlarmLine>();
        foreach (var (key, held) in _held.Where(h => h.Value.Until <= now).OrderBy(h => h.Value.First?.Utc).ToList())
        {
            if (held.First is null)
            {
                _held.Remove(key);
                continue;
            }
            lines.Add(new(held.First, held.More));
            _held[key] = new(now + gather, null, 0);
        }
        return lines.Count == 0 ? null : Sent(now, lines);
    }

    /// <summary>All that waits, due or not, in one message; null for nothing. For a way that ends.</summary>
    public AlarmMessage? Rest(DateTimeOffset now)
    {
        AlarmLine[] lines = [.. _held.Values.Where(h => h.First is not null).OrderBy(h => h.First!.Utc).Select(h => new AlarmLine(h.First!, h.More))];
        _held.Clear();
        return lines.Length == 0 ? null : Sent(now, lines);
    }

    /// <summary>When to ask for <see cref="Due"/> next; null while nothing waits.</summary>
    public DateTimeOffset? NextDue(DateTimeOffset now)
    {
        if (_held.Count == 0) return null;
        var first = _held.Values.Min(h => h.Until);
        return MaySend(now) || _sent.Peek() + Hour < first ? first : _sent.Peek() + Hour;
    }

    private bool MaySend(DateTimeOffset now)
    {
        while (_sent.TryPeek(out var oldest) && oldest <= now - Hour) _sent.Dequeue();
        return _sent.Count < mostPerHour;
    }

    private AlarmMessage Sent(DateTimeOffset now, IReadOnlyList<AlarmLine> lines)
    {
        _sent.Enqueue(now);
        return new(Guid.CreateVersion7(now), now, lines);
    }
}
