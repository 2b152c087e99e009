namespace SweepRig.Storage.Exports;

/// <summary>Levels of many runs as one Parquet file: a row a level of a curve, its unit in the row.</summary>
public sealed class LevelsParquet : IAsyncDisposable
{
    private readonly OriginColumns _origin = new();
    private readonly TextColumn _level = new("level"), _unit = new("unit"), _mark = new("mark"), _absent = new("absent_because");
    private readonly ValueColumn<double> _value = new("value"), _uncertainty = new("standard_uncertainty"), _factor = new("coverage_factor", "1");
    private ParquetTable _table = null!;

    private LevelsParquet()
    {
    }

    /// <param name="to">Seekable; stays open.</param>
    /// <param name="softwareVersion">Of this program.</param>
    /// <param name="cancellationToken">Ends it.</param>
    public static async Task<LevelsParquet> CreateAsync(Stream to, string softwareVersion, CancellationToken cancellationToken)
    {
        var levels = new LevelsParquet();
        levels._table = await ParquetTable.CreateAsync(
            to, [.. levels._origin.All, levels._level, levels._value, levels._unit, levels._uncertainty, levels._factor, levels._mark, levels._absent],
            new Dictionary<string, string> { ["format"] = "sweeprig-levels/1", ["software"] = $"SweepRig {softwareVersion}", ["unit_of_value"] = "column unit" }, cancellationToken).ConfigureAwait(false);
        return levels;
    }

    public async Task AddAsync(IEnumerable<LevelRow> rows, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(rows);
        foreach (var row in rows)
        {
            _origin.Add(row.Run, row.Pass);
            _level.Add(row.Level);
            _value.Add(row.Value);
            _unit.Add(row.Unit);
            _uncertainty.Add(row.StandardUncertainty);
            _factor.Add(row.CoverageFactor);
            _mark.Add(row.Mark);
            _absent.Add(row.AbsentBecause);
            await _table.RowAsync(cancellationToken).ConfigureAwait(false);
        }
    }

    /// <summary>Writes what waits.</summary>
    public Task EndAsync(CancellationToken cancellationToken) => _table.FlushAsync(cancellationToken);

    public ValueTask DisposeAsync() => _table.DisposeAsync();
}
