using System.Diagnostics;
using System.Text.Json;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Cli.Benches;

/// <summary>A service that left its note in a data directory.</summary>
public sealed record RunningService(Uri Url, int? ProcessId)
{
    /// <returns>The service that uses the directory; null when none does.</returns>
    public static RunningService? Find(string dataDirectory)
    {
        try
        {
            using var note = JsonDocument.Parse(File.ReadAllText(Path.Combine(dataDirectory, ServiceNote.FileName)));
            var process = note.RootElement.GetProperty("processId").GetInt32();
            // A killed service leaves its note behind.
            return IsAlive(process) ? new(new Uri(note.RootElement.GetProperty("url").GetString()!), process) : null;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or JsonException or KeyNotFoundException or InvalidOperationException or FormatException or ArgumentNullException)
        {
            return null;
        }
    }

    private static bool IsAlive(int processId)
    {
        try
        {
            using var process = Process.GetProcessById(processId);
            return !process.HasExited;
        }
        catch (ArgumentException)
        {
            return false;
        }
    }
}
