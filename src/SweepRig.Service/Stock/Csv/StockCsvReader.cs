using CsvHelper;
using SweepRig.Domain;
using SweepRig.Domain.Stock;
using SweepRig.Storage;

namespace SweepRig.Service.Stock.Csv;

/// <summary>Reads a table of tubes, either with their whole history or a plain list of new ones; which of the two its columns say.</summary>
public static class StockCsvReader
{
    /// <summary>Most lines read. A lot has 9,999 tubes at most, and what was read is kept in memory until all of it is good.</summary>
    public const int MostLines = 200_000;

    /// <summary>Most changes of one tube.</summary>
    public const int MostChanges = 1_000;

    /// <summary>Faults that are told; with more, the rest of the file is not looked at.</summary>
    public const int MostFaults = 20;

    private const int LongestField = 1_000;

    /// <param name="text">The table, with its header.</param>
    /// <param name="typeName">The name of a type as the catalogue writes it.</param>
    /// <param name="now">When new tubes come in.</param>
    /// <returns>What is to come into the stock, or the faults with their lines; nothing has changed yet.</returns>
    public static Outcome<StockToCome> Read(TextReader text, Func<string, string> typeName, DateTimeOffset now)
    {
        var bad = new List<Refusal>();
        var settings = StockCsv.Settings;
        settings.MaxFieldSize = LongestField;
        settings.BadDataFound = at => bad.Add(Fault("bad-quote", at.Context.Parser!.RawRow, $"\"{Short(at.Field)}\" has a quotation mark in it", "a field with one is put in quotation marks, and its own are doubled (RFC 4180)", "Have the table written as CSV by the program it comes from."));
        using var parser = new CsvParser(text, settings);
        try
        {
            if (!parser.Read()) return Outcome<StockToCome>.Refuse(new Refusal("csv-empty", "", "the file is empty", $"a header is needed: {string.Join(",", StockCsv.ListColumns)}", "Check that this is the right file."));
            var columns = CsvColumns.Of(parser.Record!);
            if (!columns.IsAccepted) return Outcome<StockToCome>.Refuse(columns.Refusals);
            var rows = new StockRowReader(columns.Value, typeName, now);
            while (bad.Count + rows.Faults.Count < MostFaults && parser.Read())
            {
                if (parser.Row - 1 > MostLines)
                    return Outcome<StockToCome>.Refuse(Fault("csv-too-long", parser.RawRow, $"the file has more than {MostLines} lines after its header", $"at most {MostLines} are read at once", "Split it, for example by lot."));
                // Bad quotes are found while the fields are taken apart; such a line says nothing that can be relied on.
                var before = bad.Count;
                var row = parser.Record!;
                if (bad.Count == before) rows.Take(row, parser.RawRow);
            }
            Refusal[] faults = [.. bad, .. rows.Faults];
            if (faults.Length == 0) return rows.End();
            return Outcome<StockToCome>.Refuse(faults.Length < MostFaults ? faults : [.. faults.Take(MostFaults), new("csv-more-faults", "", "there may be more", $"{MostFaults} faults are told at once", "Correct these first.")]);
        }
        catch (MaxFieldSizeException)
        {
            return Outcome<StockToCome>.Refuse(Fault("csv-field-too-long", parser.RawRow, $"a field has more than {LongestField} characters", $"at most {TubeChange.LongestText} are kept", "A quotation mark may be missing there."));
        }
    }

    internal static Refusal Fault(string code, int line, string asked, string allowed, string remedy) =>
        new(code, Place(line), asked, allowed, remedy);

    internal static string Place(int line) => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"line {line}");

    private static string Short(string? text) => text is null ? "" : text.Length <= 40 ? text : text[..39] + "…";
}
