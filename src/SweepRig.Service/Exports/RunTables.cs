using SweepRig.Analysis.Levels;
using SweepRig.Service.Contract;
using SweepRig.Service.Hosting;
using SweepRig.Service.Live;
using SweepRig.Storage.Exports;

namespace SweepRig.Service.Exports;

/// <summary>Into what form a table is written.</summary>
public enum TableForm
{
    Csv,
    Json,
    Parquet,
}

/// <summary>A table that runs are added to one after the other; what it holds of them does not grow with their number.</summary>
public interface IRunTable : IAsyncDisposable
{
    Task AddAsync(RecordedRun run, CancellationToken cancellationToken);

    /// <summary>Writes what waits; without it the table is not whole.</summary>
    Task EndAsync(CancellationToken cancellationToken);
}

/// <summary>Samples or levels of runs in each form.</summary>
public static class RunTables
{
    /// <summary>The form that the name of a file asks for by its ending.</summary>
    /// <param name="otherwise">For any other ending.</param>
    public static TableForm FormOf(string file, TableForm otherwise) => Path.GetExtension(file).ToUpperInvariant() switch
    {
        ".PARQUET" => TableForm.Parquet,
        ".JSON" => TableForm.Json,
        ".CSV" => TableForm.Csv,
        _ => otherwise,
    };

    /// <returns>Null for a name that is none.</returns>
    public static TableForm? FormNamed(string name) => Enum.GetValues<TableForm>().Cast<TableForm?>().FirstOrDefault(f => string.Equals($"{f}", name, StringComparison.OrdinalIgnoreCase));

    /// <summary>As registered with IANA; of Parquet since 2024.</summary>
    public static string MediaType(TableForm form) => form switch
    {
        TableForm.Parquet => "application/vnd.apache.parquet",
        TableForm.Json => "application/json",
        _ => "text/csv",
    };

    /// <param name="to">Seekable for Parquet; stays open.</param>
    public static async Task<IRunTable> SamplesAsync(Stream to, TableForm form, CancellationToken cancellationToken) => form switch
    {
        TableForm.Parquet => new ParquetSamples(await SamplesParquet.CreateAsync(to, BenchServices.SoftwareVersion, cancellationToken)),
        TableForm.Json => await JsonTable.BeginAsync(to, "sweeprig-samples/1", run => [new SampledRunView(RunViews.Of(run.Record), run.CurvesView)]),
        _ => await CsvSamples.BeginAsync(to),
    };

    /// <inheritdoc cref="SamplesAsync"/>
    public static async Task<IRunTable> LevelsAsync(Stream to, TableForm form, CancellationToken cancellationToken) => form switch
    {
        TableForm.Parquet => new ParquetLevels(await LevelsParquet.CreateAsync(to, BenchServices.SoftwareVersion, cancellationToken)),
        TableForm.Json => await JsonTable.BeginAsync(to, "sweeprig-levels/1", run => Rows(run).Select(LevelRowView.Of)),
        _ => await CsvLevels.BeginAsync(to),
    };

    /// <summary>Every named level of every curve.</summary>
    public static IEnumerable<LevelRow> Rows(RecordedRun run) =>
        RunLevelFinder.Find(run.Header, run.Curves, new LevelOptions()).Curves.SelectMany(curve => NamedLevels.All.Select(level =>
        {
            var figure = level.Of(curve);
            return new LevelRow(run.Header, curve.Pass, level.Word, figure.Value, figure.Unit, figure.Uncertainty, figure.CoverageFactor, figure.Mark, figure.AbsentBecause);
        }));

    private sealed class ParquetSamples(SamplesParquet file) : IRunTable
    {
        public Task AddAsync(RecordedRun run, CancellationToken cancellationToken) => file.AddAsync(run.Record with { Header = run.Header }, run.Curves, cancellationToken);

        public Task EndAsync(CancellationToken cancellationToken) => file.EndAsync(cancellationToken);

        public ValueTask DisposeAsync() => file.DisposeAsync();
    }

    private sealed class ParquetLevels(LevelsParquet file) : IRunTable
    {
        public Task AddAsync(RecordedRun run, CancellationToken cancellationToken) => file.AddAsync(Rows(run), cancellationToken);

        public Task EndAsync(CancellationToken cancellationToken) => file.EndAsync(cancellationToken);

        public ValueTask DisposeAsync() => file.DisposeAsync();
    }
}
