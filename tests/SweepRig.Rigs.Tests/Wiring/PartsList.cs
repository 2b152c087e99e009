using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;

namespace SweepRig.Rigs.Tests.Wiring;

/// <summary>The parts list, read from its CSV and written as the table of <c>firmware-notes/wiring.md</c>.</summary>
internal sealed partial class PartsList
{
    private readonly Dictionary<string, Part> _parts;

    private PartsList(IEnumerable<Part> parts) => _parts = parts.ToDictionary(p => p.Ref, StringComparer.Ordinal);

    public IReadOnlyCollection<Part> All => _parts.Values;

    /// <exception cref="KeyNotFoundException">The list has no such part.</exception>
    public Part this[string reference] =>
        _parts.TryGetValue(reference, out var part) ? part : throw new KeyNotFoundException($"parts.csv has no {reference}.");

    public static PartsList Read(string path) => new(File.ReadLines(path).Skip(1).Select(Row));

    public string Table()
    {
        var text = new StringBuilder("| ref | part | value | tolerance | rating | why |\n| --- | --- | --- | --- | --- | --- |\n");
        foreach (var part in All)
        {
            var tolerance = double.IsNaN(part.TolerancePercent) ? "" : string.Create(CultureInfo.InvariantCulture, $"{part.TolerancePercent} %");
            var value = part.Series.Length > 0 ? $"{part.Label} ({part.Series})" : part.Label;
            text.Append(CultureInfo.InvariantCulture, $"| {part.Ref} | {part.Name} | {value} | {tolerance} | {part.Rating} | {part.Why} |\n");
        }
        return text.ToString();
    }

    private static Part Row(string line)
    {
        var cells = Cell().Matches(line).Select(m => m.Groups["quoted"].Success ? m.Groups["quoted"].Value : m.Groups["plain"].Value).ToArray();
        if (cells.Length != 8) throw new FormatException($"parts.csv has a row of {cells.Length} cells; 8 are wanted: {line}");
        var tolerance = cells[4].Length == 0 ? double.NaN : double.Parse(cells[4], CultureInfo.InvariantCulture);
        return new(cells[0], cells[1], cells[2], cells[3], tolerance, cells[5], cells[6], cells[7]);
    }

    [GeneratedRegex("""(?:^|,)(?:"(?<quoted>[^"]*)"|(?<plain>[^,]*))""")]
    private static partial Regex Cell();
}
