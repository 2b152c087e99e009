using System.Globalization;
using CsvHelper;
using SweepRig.Domain;
using SweepRig.Logic.Building;
using SweepRig.Service.Stock.Csv;

namespace SweepRig.Service.Logic;

/// <summary>Reads what was read off a meter at a build: CSV (RFC 4180) with the columns node, row, volts, and the meter's own resistance where it differs from the usual.</summary>
public static class ReadingsCsv
{
    /// <summary>Most readings: every node of a large network in every row.</summary>
    public const int MostReadings = 5_000;

    private const int MostFaults = 20;
    private const string Header = "node,row,volts or node,row,volts,meterOhms";

    /// <returns>Refused with every line at fault, up to 20.</returns>
    public static Outcome<IReadOnlyList<BuildReading>> Read(TextReader text)
    {
        var faults = new List<Refusal>();
        var settings = StockCsv.Settings;
        settings.BadDataFound = at => faults.Add(Fault("bad-quote", at.Context.Parser!.RawRow, "a quotation mark inside a field", "a field with one is put in quotation marks, and its own are doubled (RFC 4180)", "Correct the line."));
        using var parser = new CsvParser(text, settings);
        string[] columns = parser.Read() ? [.. parser.Record!.Select(c => c.Trim().ToLowerInvariant())] : [];
        if (columns is not (["node", "row", "volts"] or ["node", "row", "volts", "meterohms"]))
            return Outcome<IReadOnlyList<BuildReading>>.Refuse(Fault("wrong-columns", 1, columns.Length == 0 ? "the file is empty" : $"columns {string.Join(",", columns)}", $"the first line is {Header}", "Write this line at the top."));
        var readings = new List<BuildReading>();
        while (faults.Count < MostFaults && parser.Read())
        {
            if (readings.Count >= MostReadings) return Outcome<IReadOnlyList<BuildReading>>.Refuse(Fault("too-many-readings", parser.RawRow, $"more than {MostReadings} readings", $"at most {MostReadings} are held against a build", "Leave out what was in order."));
            string[] fields = [.. parser.Record!.Select(f => f.Trim())];
            if (fields.Length != columns.Length)
            {
                faults.Add(Fault("wrong-fields", parser.RawRow, $"{fields.Length} fields", $"the first line has {columns.Length}", "Separate them by commas; a decimal point is a point."));
                continue;
            }
            var (volts, meter) = (Number(fields[2]), fields.Length > 3 && fields[3].Length > 0 ? Number(fields[3]) : TestVoltages.UsualMeterOhms);
            if (volts is null) faults.Add(Fault("not-a-number", parser.RawRow, $"volts \"{fields[2]}\"", "it is a number in volts", "Write for example 12.34, without a unit."));
            if (meter is null) faults.Add(Fault("not-a-number", parser.RawRow, $"meterOhms \"{fields[3]}\"", "it is a number in ohms", "Write for example 10000000, or leave it empty."));
            if (volts is { } v && meter is { } m) readings.Add(new(fields[0], fields[1], v, m));
        }
        return faults.Count > 0 ? Outcome<IReadOnlyList<BuildReading>>.Refuse(faults) : Outcome<IReadOnlyList<BuildReading>>.Accept(readings);
    }

    private static double? Number(string text) => double.TryParse(text.Replace('−', '-'), NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && double.IsFinite(value) ? value : null;

    private static Refusal Fault(string code, int line, string asked, string allowed, string remedy) => new(code, StockCsvReader.Place(line), asked, allowed, remedy);
}
