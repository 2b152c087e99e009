using System.Text.Json;
using SweepRig.Domain.Logging;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>A message on its way.</summary>
/// <param name="Way">Name of the way.</param>
/// <param name="Tries">Attempts that failed so far.</param>
/// <param name="Fault">Why the last one did; null before it.</param>
public sealed record PendingAlarm(string Way, AlarmMessage Message, int Tries, string? Fault);

/// <summary>What became of a message.</summary>
/// <param name="Fault">Why it could not be delivered; null when it was.</param>
public sealed record DoneAlarm(string Way, Guid Id, string Subject, DateTimeOffset SentUtc, DateTimeOffset DoneUtc, int Tries, string? Fault);

/// <summary>
/// Messages that wait, and what became of the last <see cref="MostKept"/>: in a file of the data directory and not in the store, for a store that is away is what an alarm should be able to tell
/// of. A disk that takes nothing more leaves it in memory. Safe from any thread.
/// </summary>
public sealed class AlarmJournal
{
    public const string FileName = "alarms-sent.json";

    /// <summary>Of what became of messages; and of those that wait, the newest.</summary>
    public const int MostKept = 500;

    private readonly string _path;
    private readonly ILogger _logger;
    // Held for the change and the writing of the file, so that the file never goes back.
    private readonly Lock _lock = new();
    private Content _content;

    public AlarmJournal(string dataDirectory, ILogger logger)
    {
        (_path, _logger) = (Path.Combine(dataDirectory, FileName), logger);
        _content = Read(_path, logger);
    }

    private sealed record Content(IReadOnlyList<PendingAlarm> Pending, IReadOnlyList<DoneAlarm> Done)
    {
        public static Content Empty { get; } = new([], []);
    }

    /// <summary>The oldest first.</summary>
    public IReadOnlyList<PendingAlarm> Pending => Volatile.Read(ref _content).Pending;

    /// <summary>The oldest first.</summary>
    public IReadOnlyList<DoneAlarm> Done => Volatile.Read(ref _content).Done;

    /// <summary>What a file says, for a command beside the service.</summary>
    public static (IReadOnlyList<PendingAlarm> Pending, IReadOnlyList<DoneAlarm> Done) Of(string dataDirectory, ILogger logger)
    {
        var content = Read(Path.Combine(dataDirectory, FileName), logger);
        return (content.Pending, content.Done);
    }

    public void Add(string way, AlarmMessage message) => Change(c => c with { Pending = [.. c.Pending.TakeLast(MostKept - 1), new(way, message, 0, null)] });

    public void Failed(string way, Guid id, string fault) =>
        Change(c => c with { Pending = [.. c.Pending.Select(p => p.Way == way && p.Message.Id == id ? p with { Tries = p.Tries + 1, Fault = fault } : p)] });

    /// <param name="fault">Why it is given up; null when it was delivered.</param>
    public void Finish(string way, Guid id, DateTimeOffset now, string? fault) => Change(c =>
    {
        if (c.Pending.FirstOrDefault(p => p.Way == way && p.Message.Id == id) is not { } one) return c;
        return new([.. c.Pending.Where(p => p != one)], [.. c.Done.TakeLast(MostKept - 1), new(way, id, one.Message.Subject, one.Message.Utc, now, one.Tries + (fault is null ? 1 : 0), fault)]);
    });

    private void Change(Func<Content, Content> change)
    {
        lock (_lock)
        {
            Volatile.Write(ref _content, change(_content));
            try
            {
                // A reader must never see half of it.
                var temporary = _path + ".new";
                File.WriteAllBytes(temporary, JsonSerializer.SerializeToUtf8Bytes(_content, EventsWaiting.Json));
                File.Move(temporary, _path, overwrite: true);
            }
            catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
            {
                _logger.LogWarning(LogEvents.AlarmsInMemory, "What became of alarms stays in memory: {Fault}", fault.Message);
            }
        }
    }

    private static Content Read(string path, ILogger logger)
    {
        try
        {
            return File.Exists(path) ? JsonSerializer.Deserialize<Content>(File.ReadAllBytes(path), EventsWaiting.Json) ?? Content.Empty : Content.Empty;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or JsonException or NotSupportedException)
        {
            logger.LogWarning(LogEvents.AlarmsBegunAnew, "{File} cannot be read, and is begun anew: {Fault}", path, fault.Message);
            return Content.Empty;
        }
    }
}
