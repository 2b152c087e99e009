using System.Threading.Channels;
using SweepRig.Domain;
using SweepRig.Domain.Watching;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>
/// Decides which events go where, and keeps storms small. One task hears events in their order; each way has a task of its own behind it. Nothing of the bench ever waits for either. The file is read
/// once, at the start.
/// </summary>
public sealed class AlarmDesk : IEventListener, IAsyncDisposable
{
    private readonly AlarmConfig _config;
    private readonly Func<IWatch> _watch;
    private readonly TimeProvider _time;
    private readonly IReadOnlyList<(AlarmLane Lane, AlarmGathering Gathering)> _ways;
    private readonly Channel<(BenchEvent? Event, string? NotBy)> _heard = Channel.CreateUnbounded<(BenchEvent?, string?)>(new() { SingleReader = true });
    private readonly ITimer _timer;
    private readonly Task _owner;
    private readonly DateTimeOffset _startUtc;
    private readonly long _startedAt;
    private int _disposed;

    /// <param name="send">Brings a message along a way; throws an <see cref="AlarmFailedException"/> when it was not taken.</param>
    /// <param name="watch">Where it is told that an alarm could not be delivered.</param>
    public AlarmDesk(Outcome<AlarmConfig> config, AlarmJournal journal, Func<AlarmWay, AlarmMessage, CancellationToken, Task> send, Func<IWatch> watch, TimeProvider time)
    {
        (Faults, _watch, _time, Journal) = (config.IsAccepted ? [] : config.Refusals, watch, time, journal);
        (_startUtc, _startedAt) = (time.GetUtcNow(), time.GetTimestamp());
        _config = config.IsAccepted ? config.Value : AlarmConfig.None;
        _ways = [.. _config.Ways.Select(w => (new AlarmLane(w, send, journal, GivenUp, time), new AlarmGathering(_config.Gather, _config.MostPerHour)))];
        _timer = time.CreateTimer(_ => _heard.Writer.TryWrite((null, null)), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
        _owner = Task.Run(RunAsync);
    }

    /// <summary>What is wrong with the file; then no alarm goes anywhere.</summary>
    public IReadOnlyList<Refusal> Faults { get; }

    public AlarmConfig Config => _config;

    public AlarmJournal Journal { get; }

    public void Hear(BenchEvent happened)
    {
        // That of its own making it has heard already, with the way that is to be left out.
        if (happened.Kind != EventKind.AlarmNotDelivered) _heard.Writer.TryWrite((happened, null));
    }

    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0) return;
        _heard.Writer.TryComplete();
        await _timer.DisposeAsync();
        await _owner;
        foreach (var (lane, _) in _ways) await lane.DisposeAsync();
    }

    private async Task RunAsync()
    {
        await foreach (var (one, notBy) in _heard.Reader.ReadAllAsync())
        {
            // Counted on from the start by the clock that nobody sets: a wall clock put back must not make an alarm wait.
            var now = _startUtc + _time.GetElapsedTime(_startedAt);
            foreach (var (lane, gathering) in _ways)
            {
                if (one is not null && lane.Way.Name != notBy && _config.Rules.Any(r => r.To.Contains(lane.Way.Name) && r.Holds(one)) && gathering.Hear(one, now) is { } message) lane.Post(message);
                if (gathering.Due(now) is { } due) lane.Post(due);
            }
            if (_ways.Select(w => w.Gathering.NextDue(now)).Where(n => n is not null).Min() is { } next) Wake(next - now);
        }
    }

    private void Wake(TimeSpan after)
    {
        if (Volatile.Read(ref _disposed) == 0) _timer.Change(after > TimeSpan.Zero ? after : TimeSpan.FromMilliseconds(1), Timeout.InfiniteTimeSpan);
    }

    /// <summary>Told like any event, and to the other ways: not along the one that just failed.</summary>
    private void GivenUp(AlarmWay way, AlarmMessage message, string why)
    {
        var one = BenchEvent.Of(_time.GetUtcNow(), null, EventSeverity.Warning, EventKind.AlarmNotDelivered, $"An alarm could not be delivered by {way.Name}, {why}. It said: {message.Subject}",
            $"Mend the way and try it with sweeprig alarms try --way {way.Name}.");
        _watch().Post(one);
        _heard.Writer.TryWrite((one, way.Name));
    }
}
