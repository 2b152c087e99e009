using System.Text.Json;
using System.Text.Json.Serialization;
using SweepRig.Domain.Watching;

namespace SweepRig.Service.Watching;

/// <summary>
/// Events that the store does not take, one a line in a file of the data directory, so that a service which dies meanwhile loses none. The next one brings them to the store. One task has it.
/// </summary>
public sealed class EventsWaiting(string dataDirectory)
{
    public const string FileName = "events-waiting.jsonl";

    internal static JsonSerializerOptions Json { get; } = new() { PropertyNamingPolicy = JsonNamingPolicy.CamelCase, Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower) } };

    private readonly string _path = Path.Combine(dataDirectory, FileName);

    public string Place => _path;

    /// <summary>Adds events at its end, through to the disk.</summary>
    /// <exception cref="IOException">The disk takes nothing.</exception>
    /// <exception cref="UnauthorizedAccessException">The file cannot be written.</exception>
    public void Add(IEnumerable<BenchEvent> events)
    {
        using var file = new FileStream(_path, FileMode.Append, FileAccess.Write, FileShare.Read);
        // After a line that a power failure cut in two another begins.
        if (file.Position > 0) file.WriteByte((byte)'\n');
        foreach (var one in events)
        {
            JsonSerializer.Serialize(file, one, Json);
            file.WriteByte((byte)'\n');
        }
        file.Flush(flushToDisk: true);
    }

    /// <returns>What a service left that died, in its order, and how many lines are no event.</returns>
    /// <exception cref="IOException">It cannot be read.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be read.</exception>
    public (IReadOnlyList<BenchEvent> Events, int Damaged) Read()
    {
        if (!File.Exists(_path)) return ([], 0);
        var (events, damaged) = (new List<BenchEvent>(), 0);
        foreach (var line in File.ReadLines(_path).Where(l => l.Length > 0))
        {
            if (Parse(line) is { } one) events.Add(one);
            else damaged++;
        }
        return (events, damaged);
    }

    /// <summary>The store has all of them.</summary>
    /// <exception cref="IOException">It cannot be taken away.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be taken away.</exception>
    public void Clear() => File.Delete(_path);

    private static BenchEvent? Parse(string line)
    {
        try
        {
            return JsonSerializer.Deserialize<BenchEvent>(line, Json) is { Text: not null, Remedy: not null } one ? one : null;
        }
        catch (JsonException)
        {
            return null;
        }
    }
}
