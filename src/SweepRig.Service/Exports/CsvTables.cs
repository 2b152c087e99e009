using System.Text;
using CsvHelper;
using SweepRig.Service.Live;
using SweepRig.Storage.Exports;

namespace SweepRig.Service.Exports;

internal sealed class CsvSamples(StreamWriter writer, CsvWriter csv) : IRunTable
{
    public static async Task<IRunTable> BeginAsync(Stream to)
    {
        var writer = CsvText.On(to);
        return new CsvSamples(writer, await CurveCsv.BeginAsync(writer));
    }

    public Task AddAsync(RecordedRun run, CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        return CurveCsv.AddAsync(csv, run.Record with { Header = run.Header }, run.Curves);
    }

    public Task EndAsync(CancellationToken cancellationToken) => csv.FlushAsync();

    public async ValueTask DisposeAsync()
    {
        await csv.DisposeAsync();
        await writer.DisposeAsync();
    }
}

internal sealed class CsvLevels(StreamWriter writer, LevelsCsv csv) : IRunTable
{
    public static async Task<IRunTable> BeginAsync(Stream to)
    {
        var writer = CsvText.On(to);
        return new CsvLevels(writer, await LevelsCsv.CreateAsync(writer));
    }

    public Task AddAsync(RecordedRun run, CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        return csv.AddAsync(RunTables.Rows(run));
    }

    public Task EndAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public async ValueTask DisposeAsync()
    {
        await csv.DisposeAsync();
        await writer.DisposeAsync();
    }
}

internal static class CsvText
{
    // Without a byte order mark: RFC 4180 knows none.
    public static StreamWriter On(Stream to) => new(to, new UTF8Encoding(false), leaveOpen: true);
}
