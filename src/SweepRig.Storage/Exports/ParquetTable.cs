using System.Text.Json;
using Parquet;
using Parquet.Schema;

namespace SweepRig.Storage.Exports;

/// <summary>Rows into one Parquet file, a row group at a time: memory does not grow with the file.</summary>
internal sealed class ParquetTable : IAsyncDisposable
{
    /// <summary>Rows of a group: some tens of megabytes while they wait.</summary>
    private const int GroupRows = 65_536;

    private readonly IReadOnlyList<TableColumn> _columns;
    private readonly ParquetWriter _writer;
    private int _rows;

    private ParquetTable(IReadOnlyList<TableColumn> columns, ParquetWriter writer) => (_columns, _writer) = (columns, writer);

    /// <param name="stream">Seekable; stays open.</param>
    /// <param name="about">Said of the whole file; units of the columns are added to it as JSON under <c>units</c>.</param>
    public static async Task<ParquetTable> CreateAsync(Stream stream, IReadOnlyList<TableColumn> columns, IReadOnlyDictionary<string, string> about, CancellationToken cancellationToken)
    {
        var writer = await ParquetWriter.CreateAsync(new ParquetSchema(columns.Select(c => c.Field)), stream, cancellationToken: cancellationToken).ConfigureAwait(false);
        writer.CustomMetadata = new Dictionary<string, string>(about)
        {
            ["units"] = JsonSerializer.Serialize(columns.Where(c => c.Unit is not null).ToDictionary(c => c.Name, c => c.Unit!), UnitsJson.Default.DictionaryStringString),
        };
        return new(columns, writer);
    }

    /// <summary>To be called when every column has got its value.</summary>
    public async ValueTask RowAsync(CancellationToken cancellationToken)
    {
        if (++_rows == GroupRows) await FlushAsync(cancellationToken).ConfigureAwait(false);
    }

    /// <summary>Writes what waits. Without it the last rows are not in the file.</summary>
    public async Task FlushAsync(CancellationToken cancellationToken)
    {
        if (_rows == 0) return;
        using var group = _writer.CreateRowGroup();
        foreach (var column in _columns) await column.WriteAsync(group, cancellationToken).ConfigureAwait(false);
        group.CompleteValidate();
        _rows = 0;
    }

    public ValueTask DisposeAsync() => _writer.DisposeAsync();
}

[System.Text.Json.Serialization.JsonSerializable(typeof(Dictionary<string, string>))]
internal sealed partial class UnitsJson : System.Text.Json.Serialization.JsonSerializerContext;
