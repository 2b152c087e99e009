using SweepRig.Domain;

namespace SweepRig.Service.Stock.Csv;

/// <summary>Which column is where.</summary>
internal sealed class CsvColumns
{
    private readonly Dictionary<string, int> _places;

    private CsvColumns(Dictionary<string, int> places) => _places = places;

    public int Count => _places.Count;

    /// <summary>True for a table of changes, false for a plain list.</summary>
    public bool HasHistory => _places.ContainsKey(StockCsv.Change);

    public static Outcome<CsvColumns> Of(string[] header)
    {
        var places = new Dictionary<string, int>(StringComparer.Ordinal);
        foreach (var (name, i) in header.Select((h, i) => (h.Trim().TrimStart('\uFEFF').ToLowerInvariant(), i)))
        {
            if (!places.TryAdd(name, i))
                return Refused($"the column \"{name}\" stands twice", "each column may stand once", "Delete one of them.");
        }
        var history = places.ContainsKey(StockCsv.Change);
        var (allowed, needed) = history
            ? (StockCsv.HistoryColumns, new[] { StockCsv.Tube, StockCsv.LotName, StockCsv.Change, StockCsv.Text, StockCsv.At })
            : (StockCsv.ListColumns, new[] { StockCsv.Tube, StockCsv.LotName });
        string[] missing = [.. needed.Where(n => !places.ContainsKey(n))], odd = [.. places.Keys.Where(k => !allowed.Contains(k))];
        if (missing.Length == 0 && odd.Length == 0) return Outcome<CsvColumns>.Accept(new(places));
        var said = string.Join(" and ", new[]
        {
            missing.Length > 0 ? $"{string.Join(", ", missing.Select(m => $"\"{m}\""))} {(missing.Length == 1 ? "is" : "are")} missing" : null,
            odd.Length > 0 ? $"{string.Join(", ", odd.Take(5).Select(o => $"\"{(o.Length <= 40 ? o : o[..39] + "…")}\""))} {(odd.Length == 1 ? "is" : "are")} unknown" : null,
        }.OfType<string>());
        return Refused(
            $"of the columns {said}", $"a list of tubes has {string.Join(",", StockCsv.ListColumns)}, of which tube and lot are needed; a history has {string.Join(",", StockCsv.HistoryColumns)}",
            header.Length == 1 ? "Columns are set apart by commas: have the table written so." : "Name the columns so, and take out the others.");
    }

    /// <summary>The field of a row; null where it is empty or there is no such column.</summary>
    public string? Field(string[] row, string column) => _places.TryGetValue(column, out var i) && row[i].Trim() is { Length: > 0 } text ? text : null;

    /// <summary>The same with the spaces around it.</summary>
    public string Whole(string[] row, string column) => _places.TryGetValue(column, out var i) ? row[i] : "";

    private static Outcome<CsvColumns> Refused(string asked, string allowed, string remedy) => Outcome<CsvColumns>.Refuse(StockCsvReader.Fault("wrong-columns", 1, asked, allowed, remedy));
}
