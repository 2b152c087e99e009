using System.Text;

namespace SweepRig.Storage.Archives;

/// <summary>Lines of a text of which none may be long, so that a text without an end of line takes no memory.</summary>
internal sealed class ShortLines(TextReader reader, string part, int longest)
{
    private readonly StringBuilder _line = new();
    private long _number;

    /// <returns>Without its end; null at the end of the text.</returns>
    /// <exception cref="ArchiveException">The line is too long.</exception>
    public string? Next()
    {
        _line.Clear();
        _number++;
        for (var c = reader.Read(); c >= 0; c = reader.Read())
        {
            if (c == '\n') return _line.Length > 0 && _line[^1] == '\r' ? _line.ToString(0, _line.Length - 1) : _line.ToString();
            if (_line.Length == longest) throw Fault($"it is longer than {longest} characters");
            _line.Append((char)c);
        }
        return _line.Length == 0 ? null : _line.ToString();
    }

    public ArchiveException Fault(string what) => new("archive-part-damaged", $"{part}, line {_number}: {what}", "a part as SweepRig writes it", "Get another copy of the archive.");
}
