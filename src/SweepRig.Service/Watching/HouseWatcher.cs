using SweepRig.Domain.Watching;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Hosting;
using SweepRig.Storage;

namespace SweepRig.Service.Watching;

/// <summary>Looks every few seconds at what all rigs lean on: room on the disk, whether what is recorded reaches the store, and whether somebody set the computer's clock.</summary>
public sealed class HouseWatcher : IAsyncDisposable
{
    /// <summary>A night of sweeps on eight rigs takes some hundreds of megabytes; below this it could run out of room.</summary>
    public const long LowBytes = 1L << 30;

    /// <summary>Below this it will.</summary>
    public const long VeryLowBytes = 100L << 20;

    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(10);

    /// <summary>A clock that is disciplined is slewed by 500 ppm at most (adjtimex(2)), 5 ms between two looks; more than this is a step.</summary>
    private static readonly TimeSpan ClockStep = TimeSpan.FromSeconds(2);

    private readonly IWatch _watch;
    private readonly TimeProvider _time;
    private readonly Func<long?> _freeBytes;
    private readonly Func<(long Waiting, string? In)> _waiting;
    private readonly ITimer _timer;
    private EventSeverity? _disk;
    private bool _away;
    private (DateTimeOffset Utc, long Stamp)? _clock;
    private int _looking;

    public HouseWatcher(BenchOptions options, RunStore runs, IWatch watch, TimeProvider time)
        : this(watch, time, () => FreeBytes(options.DataDirectory), () => (runs.Waiting, runs.WaitingIn))
    {
    }

    /// <param name="freeBytes">Room on the disk; null where it cannot be told.</param>
    /// <param name="waiting">Writes that wait for the store, and where.</param>
    public HouseWatcher(IWatch watch, TimeProvider time, Func<long?> freeBytes, Func<(long Waiting, string? In)> waiting)
    {
        (_watch, _time, _freeBytes, _waiting) = (watch, time, freeBytes, waiting);
        _timer = time.CreateTimer(_ => Look(), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
    }

    /// <summary>Looks at once, and from then on.</summary>
    public void Start() => _timer.Change(TimeSpan.Zero, LookEvery);

    public ValueTask DisposeAsync() => _timer.DisposeAsync();

    private void Look()
    {
        if (Interlocked.Exchange(ref _looking, 1) != 0) return;
        LookAtDisk();
        LookAtStore();
        LookAtClock();
        Volatile.Write(ref _looking, 0);
    }

    private void LookAtDisk()
    {
        if (_freeBytes() is not { } free) return;
        // Back above the limit by a fifth, so that a disk at the edge is not told of all night.
        EventSeverity? now = free < VeryLowBytes ? EventSeverity.Alarm : free < LowBytes ? EventSeverity.Warning : free < LowBytes * 6 / 5 ? _disk : null;
        if (now == _disk) return;
        var (worse, before) = (now is not null && (_disk is null || now > _disk), _disk);
        _disk = now;
        if (worse) Post(now!.Value, EventKind.DiskLow, $"{Megabytes(free)} MB are left on the disk that keeps the runs.", "Free space there, or move old runs away with sweeprig archive. A run that finds no room trips, and what it recorded before is kept.");
        else if (now is null && before is not null) Post(EventSeverity.Note, EventKind.DiskEnough, $"{Megabytes(free)} MB are free again on the disk that keeps the runs.", "");
    }

    private void LookAtStore()
    {
        var (waiting, file) = _waiting();
        if (waiting > 0 == _away) return;
        _away = waiting > 0;
        if (_away) Post(EventSeverity.Warning, EventKind.StoreAway, $"The server of the store is away; {waiting} writes wait in {file}.", "See that the server runs and can be reached. Sweeps that have begun go on, and nothing is lost; no new run begins meanwhile.");
        else Post(EventSeverity.Note, EventKind.StoreBack, "The server of the store is back, and has all that waited.", "");
    }

    private void LookAtClock()
    {
        var now = (Utc: _time.GetUtcNow(), Stamp: _time.GetTimestamp());
        if (_clock is { } before && now.Utc - before.Utc - _time.GetElapsedTime(before.Stamp, now.Stamp) is var step && step.Duration() > ClockStep)
        {
            Post(EventSeverity.Warning, EventKind.ClockTrouble, $"The computer's clock went {(step > TimeSpan.Zero ? "forward" : "back")} by {RunText.Seconds(step.Duration())} beside the time that passed.",
                "Sweeps and nights go by a clock that nobody sets and are not moved; times told before and after differ by that. If nobody set it, see what disciplines it (timedatectl), and that the computer does not sleep.");
        }
        _clock = now;
    }

    private void Post(EventSeverity severity, EventKind kind, string text, string remedy) => _watch.Post(BenchEvent.Of(_time.GetUtcNow(), null, severity, kind, text, remedy));

    private static string Megabytes(long bytes) => (bytes / 1_000_000).ToString(System.Globalization.CultureInfo.InvariantCulture);

    private static long? FreeBytes(string directory)
    {
        try
        {
            return new DriveInfo(Path.GetFullPath(directory)).AvailableFreeSpace;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or ArgumentException)
        {
            // A disk that is gone shows itself by what cannot be recorded.
            return null;
        }
    }
}
