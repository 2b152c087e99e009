using System.Text;
using SweepRig.Service.Cli;
using SweepRig.Service.Live;

namespace SweepRig.Service.Exports;

/// <summary>One JSON object with a list, written item by item.</summary>
internal sealed class JsonTable : IRunTable
{
    private readonly StreamWriter _writer;
    private readonly Func<RecordedRun, IEnumerable<object>> _items;
    private bool _any;

    private JsonTable(StreamWriter writer, Func<RecordedRun, IEnumerable<object>> items) => (_writer, _items) = (writer, items);

    public static async Task<IRunTable> BeginAsync(Stream to, string format, Func<RecordedRun, IEnumerable<object>> items)
    {
        var writer = new StreamWriter(to, new UTF8Encoding(false), leaveOpen: true);
        await writer.WriteAsync($$"""{"format": "{{format}}", "items": [""");
        return new JsonTable(writer, items);
    }

    public async Task AddAsync(RecordedRun run, CancellationToken cancellationToken)
    {
        foreach (var item in _items(run))
        {
            cancellationToken.ThrowIfCancellationRequested();
            await _writer.WriteAsync((_any ? ",\n" : "\n") + CliJson.Text(item));
            _any = true;
        }
    }

    public Task EndAsync(CancellationToken cancellationToken) => _writer.WriteAsync("\n]}\n");

    public ValueTask DisposeAsync() => _writer.DisposeAsync();
}
