using SweepRig.Domain;

namespace SweepRig.Service.Watching.Alarms;

/// <summary>The file that says where alarms go, which somebody may change while the service runs. One task has it.</summary>
public sealed class AlarmFile(string dataDirectory)
{
    private readonly FileInfo _file = new(Path.Combine(dataDirectory, AlarmDocument.FileName));
    private (DateTime WrittenUtc, long Length)? _seen;

    /// <summary>What it says now; nothing goes anywhere when there is none.</summary>
    public Outcome<AlarmConfig> Read()
    {
        _seen = Stamp();
        return AlarmDocument.OfDirectory(dataDirectory);
    }

    /// <returns>What it says now, if it is another than was last read; null if it is the same.</returns>
    public Outcome<AlarmConfig>? ReadIfChanged() => Stamp() == _seen ? null : Read();

    private (DateTime, long)? Stamp()
    {
        _file.Refresh();
        return _file.Exists ? (_file.LastWriteTimeUtc, _file.Length) : null;
    }
}
