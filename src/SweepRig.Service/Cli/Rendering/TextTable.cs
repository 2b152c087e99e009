using System.Text;
using SweepRig.Service.Cli.Terminal;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Aligned columns for a terminal or a file: two spaces between columns, nothing at the end of a line.</summary>
/// <param name="columns">Headings; an empty one for a column without.</param>
public sealed class TextTable(params IReadOnlyList<(string Heading, bool AlignRight)> columns)
{
    private const string Between = "  ";

    private readonly List<string[]> _rows = [];

    public void Row(params string[] cells)
    {
        if (cells.Length != columns.Count) throw new InvalidOperationException($"SweepRig bug: a row of {cells.Length} cells in a table of {columns.Count} columns.");
        _rows.Add(cells);
    }

    public IEnumerable<string> Lines(Ink ink)
    {
        var widths = columns.Select((c, i) => Math.Max(c.Heading.Length, _rows.Count == 0 ? 0 : _rows.Max(r => r[i].Length))).ToArray();
        if (columns.Any(c => c.Heading.Length > 0)) yield return ink.Strong(Line([.. columns.Select(c => c.Heading)], widths));
        foreach (var row in _rows) yield return Line(row, widths);
    }

    private string Line(string[] cells, int[] widths)
    {
        var line = new StringBuilder();
        for (var i = 0; i < cells.Length; i++)
        {
            if (i > 0) line.Append(Between);
            line.Append(columns[i].AlignRight ? cells[i].PadLeft(widths[i]) : cells[i].PadRight(widths[i]));
        }
        return line.ToString().TrimEnd();
    }
}
