using Parquet;
using Parquet.Schema;

namespace SweepRig.Storage.Exports;

/// <summary>A column of a table that is written as Parquet (Apache Parquet format, version 2): its rows wait here until they make a row group.</summary>
internal abstract class TableColumn(string name, string? unit)
{
    /// <summary>Snake case, so that no query language needs quotes.</summary>
    public string Name => name;

    /// <summary>SI symbol; null for what has none.</summary>
    public string? Unit => unit;

    public abstract DataField Field { get; }

    /// <summary>Writes the rows that wait, and forgets them.</summary>
    public abstract Task WriteAsync(ParquetRowGroupWriter group, CancellationToken cancellationToken);

    /// <summary>Written with the column, so that no number is without its unit.</summary>
    protected Dictionary<string, string>? Metadata => Unit is null ? null : new() { ["unit"] = Unit };
}

internal sealed class TextColumn(string name) : TableColumn(name, null)
{
    private readonly List<string?> _rows = [];

    public override DataField Field { get; } = new(name, typeof(string), isNullable: true);

    public void Add(string? value) => _rows.Add(value);

    public override async Task WriteAsync(ParquetRowGroupWriter group, CancellationToken cancellationToken)
    {
        await group.WriteAsync(Field, (IReadOnlyCollection<string>)_rows!).ConfigureAwait(false);
        _rows.Clear();
    }
}

/// <summary>Numbers, true or false, times: what has a value or none.</summary>
internal sealed class ValueColumn<T>(string name, string? unit = null) : TableColumn(name, unit)
    where T : struct
{
    private readonly List<T?> _rows = [];

    // Times in microseconds: the default of the library is a 96-bit form that newer readers warn of.
    public override DataField Field { get; } = typeof(T) == typeof(DateTime)
        ? new DateTimeDataField(name, DateTimeFormat.Timestamp, isAdjustedToUTC: false, unit: DateTimeTimeUnit.Micros, isNullable: true)
        : new DataField(name, typeof(T), isNullable: true);

    public void Add(T? value) => _rows.Add(value);

    public override async Task WriteAsync(ParquetRowGroupWriter group, CancellationToken cancellationToken)
    {
        await group.WriteAsync<T>(Field, _rows.ToArray().AsMemory(), null, Metadata, cancellationToken).ConfigureAwait(false);
        _rows.Clear();
    }
}
