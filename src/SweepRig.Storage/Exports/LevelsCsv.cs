using System.Globalization;
using CsvHelper;
using CsvHelper.Configuration;

namespace SweepRig.Storage.Exports;

/// <summary>Levels of many runs as a table after RFC 4180: a row a level of a curve, its unit in the row.</summary>
public sealed class LevelsCsv : IAsyncDisposable
{
    private static readonly string[] Header =
    [
        "run", "started (UTC)", "tube", "type", "lot", "connection", "calibration", "calibration state", "pass", "direction", "repeat", "second source (V)",
        "level", "value", "unit", "standard uncertainty", "coverage factor", "mark", "absent because",
    ];

    private readonly CsvWriter _csv;

    private LevelsCsv(CsvWriter csv) => _csv = csv;

    /// <param name="to">Stays open.</param>
    public static async Task<LevelsCsv> CreateAsync(TextWriter to)
    {
        var csv = new CsvWriter(to, new CsvConfiguration(CultureInfo.InvariantCulture) { NewLine = "\r\n", Delimiter = "," }, leaveOpen: true);
        foreach (var name in Header) csv.WriteField(name);
        await csv.NextRecordAsync().ConfigureAwait(false);
        return new(csv);
    }

    public async Task AddAsync(IEnumerable<LevelRow> rows)
    {
        ArgumentNullException.ThrowIfNull(rows);
        foreach (var row in rows)
        {
            CurveCsv.WriteOrigin(_csv, row.Run, row.Pass);
            _csv.WriteField(row.Level);
            CurveCsv.WriteNumber(_csv, row.Value ?? double.NaN);
            _csv.WriteField(row.Unit);
            CurveCsv.WriteNumber(_csv, row.StandardUncertainty ?? double.NaN);
            CurveCsv.WriteNumber(_csv, row.CoverageFactor ?? double.NaN);
            _csv.WriteField(row.Mark);
            _csv.WriteField(row.AbsentBecause);
            await _csv.NextRecordAsync().ConfigureAwait(false);
        }
    }

    public ValueTask DisposeAsync() => _csv.DisposeAsync();
}
