using System.Threading.Channels;
using SweepRig.Domain;
using SweepRig.Domain.Watching;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>
/// Decides which events go where, and keeps storms small. One task hears events in their order; each way has a task of its own behind it. Nothing of the bench ever waits for either. The file is looked
/// at all the while: a change of it is in force within <see cref="LookEvery"/>, and one that cannot be used leaves in force what was.
/// </summary>
public sealed class AlarmDesk : IEventListener, IAsyncDisposable
{
    public static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(10);

    private readonly Func<Outcome<AlarmConfig>?> _changed;
    private readonly Func<AlarmWay, AlarmMessage, CancellationToken, Task> _send;
    private readonly Func<IWatch> _watch;
    private readonly TimeProvider _time;
    private readonly Channel<Heard> _heard = Channel.CreateUnbounded<Heard>(new() { SingleReader = true });
    private readonly ITimer _timer, _looks;
    private readonly Task _owner;
    private readonly DateTimeOffset _startUtc;
    private readonly long _startedAt;
    private IReadOnlyList<(AlarmLane Lane, AlarmGathering Gathering)> _ways;
    private AlarmConfig _config;
    private IReadOnlyList<Refusal> _faults;
    private int _disposed;

    /// <param name="config">What the file says at the start.</param>
    /// <param name="changed">What it says now where that is another than before, else null.</param>
    /// <param name="send">Brings a message along a way; throws an <see cref="AlarmFailedException"/> when it was not taken.</param>
    /// <param name="watch">Where it is told that an alarm could not be delivered.</param>
    public AlarmDesk(
        Outcome<AlarmConfig> config, Func<Outcome<AlarmConfig>?> changed, AlarmJournal journal, Func<AlarmWay, AlarmMessage, CancellationToken, Task> send, Func<IWatch> watch, TimeProvider time)
    {
        (_changed, _send, _watch, _time, Journal) = (changed, send, watch, time, journal);
        (_startUtc, _startedAt) = (time.GetUtcNow(), time.GetTimestamp());
        (_config, _faults) = (config.Value ?? AlarmConfig.None, config.Refusals);
        _ways = Ways([]);
        _timer = time.CreateTimer(_ => _heard.Writer.TryWrite(new Heard.Due()), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
        _looks = time.CreateTimer(_ => _heard.Writer.TryWrite(new Heard.Look()), null, LookEvery, LookEvery);
        _owner = Task.Run(RunAsync);
    }

    /// <summary>What is wrong with the file; then nothing of it is in force, or what it said before it was changed.</summary>
    public IReadOnlyList<Refusal> Faults => Volatile.Read(ref _faults);

    /// <summary>What is in force.</summary>
    public AlarmConfig Config => Volatile.Read(ref _config);

    public AlarmJournal Journal { get; }

    public void Hear(BenchEvent happened)
    {
        // That of its own making it has heard already, with the way that is to be left out.
        if (happened.Kind != EventKind.AlarmNotDelivered) _heard.Writer.TryWrite(new Heard.Event(happened, null));
    }

    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0) return;
        _heard.Writer.TryComplete();
        await _timer.DisposeAsync();
        await _looks.DisposeAsync();
        await _owner;
        foreach (var (lane, _) in _ways) await lane.DisposeAsync();
    }

    private async Task RunAsync()
    {
        await foreach (var heard in _heard.Reader.ReadAllAsync())
        {
            if (heard is Heard.Look)
            {
                if (_changed() is { } now) await ChangeAsync(now);
                continue;
            }
            Hand(heard as Heard.Event);
        }
    }

    private void Hand(Heard.Event? heard)
    {
        var now = Now;
        foreach (var (lane, gathering) in _ways)
        {
            if (heard is { One: var one } && lane.Way.Name != heard.NotBy && _config.Rules.Any(r => r.To.Contains(lane.Way.Name) && r.Holds(one)) && gathering.Hear(one, now) is { } message) lane.Post(message);
            if (gathering.Due(now) is { } due) lane.Post(due);
        }
        if (_ways.Select(w => w.Gathering.NextDue(now)).Where(n => n is not null).Min() is { } next) Wake(next - now);
    }

    private async Task ChangeAsync(Outcome<AlarmConfig> changed)
    {
        Volatile.Write(ref _faults, changed.Refusals);
        if (!changed.IsAccepted)
        {
            _watch().Post(BenchEvent.Of(_time.GetUtcNow(), null, EventSeverity.Alarm, EventKind.AlarmsUnusable, $"{AlarmDocument.FileName} was changed and cannot be used; what it said before is in force: {string.Join(" ", changed.Refusals)}",
                "Correct the file and look at it with sweeprig alarms check."));
            return;
        }
        // What a way of the same name has not delivered it takes from the journal. It goes on counting too, unless it is to count otherwise: then what it has gathered goes out.
        var counts = changed.Value.Gather == _config.Gather && changed.Value.MostPerHour == _config.MostPerHour;
        var before = _ways;
        foreach (var (lane, gathering) in before)
        {
            if (!counts && gathering.Rest(Now) is { } rest) lane.Post(rest);
            await lane.DisposeAsync();
        }
        Volatile.Write(ref _config, changed.Value);
        _ways = Ways(counts ? before : []);
        _watch().Post(BenchEvent.Of(_time.GetUtcNow(), null, EventSeverity.Warning, EventKind.AlarmsChanged, $"{AlarmDocument.FileName} was changed and is in force: {Words(changed.Value)}.",
            "If nobody of yours did it, somebody else has write access to the data directory."));
    }

    /// <summary>Counted on from the start by the clock that nobody sets: a wall clock put back must not make an alarm wait.</summary>
    private DateTimeOffset Now => _startUtc + _time.GetElapsedTime(_startedAt);

    private List<(AlarmLane Lane, AlarmGathering Gathering)> Ways(IReadOnlyList<(AlarmLane Lane, AlarmGathering Gathering)> before) =>
    [
        .. _config.Ways.Select(w => (
            new AlarmLane(w, _send, Journal, GivenUp, _time),
            before.FirstOrDefault(b => b.Lane.Way.Name == w.Name).Gathering ?? new AlarmGathering(_config.Gather, _config.MostPerHour))),
    ];

    private static string Words(AlarmConfig config) => config.Ways.Count == 0 ? "no alarm goes anywhere" : $"alarms go by {string.Join(", ", config.Ways.Select(w => w.Name))}";

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
        _heard.Writer.TryWrite(new Heard.Event(one, way.Name));
    }

    private abstract record Heard
    {
        /// <param name="NotBy">The way that it is not to go by; null for none.</param>
        public sealed record Event(BenchEvent One, string? NotBy) : Heard;

        /// <summary>Something gathered is due.</summary>
        public sealed record Due : Heard;

        /// <summary>Time to look at the file.</summary>
        public sealed record Look : Heard;
    }
}
