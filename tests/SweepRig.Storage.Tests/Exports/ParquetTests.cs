using DuckDB.NET.Data;
using SweepRig.Domain.Runs;
using SweepRig.Storage.Exports;
using SweepRig.Storage.Tests.Support;

namespace SweepRig.Storage.Tests.Exports;

/// <summary>Parquet files read back by DuckDB, which shares no code with what wrote them.</summary>
public sealed class ParquetTests : IDisposable
{
    private const double Awkward = 0.1 + 0.2;

    private readonly TemporaryDirectory _directory = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    private string Path => System.IO.Path.Combine(_directory.Path, "table.parquet");

    public void Dispose() => _directory.Dispose();

    [Fact]
    public async Task Samples_come_back_to_the_last_bit_and_missing_points_have_no_values()
    {
        var run = Record(Examples.Header());
        var curve = Curve(4) with { Plate = [Awkward, double.NaN, -1e-300, 28], Drive = [-14, double.NaN, 0, 24] };
        await WriteAsync([(run, [curve])]);

        Assert.Equal(4L, await OneAsync("SELECT count(*) FROM t"));
        Assert.Equal(Awkward, await OneAsync("SELECT plate FROM t WHERE point = 0"));
        Assert.Equal(-1e-300, await OneAsync("SELECT plate FROM t WHERE point = 2"));
        Assert.Equal(1L, await OneAsync("SELECT count(*) FROM t WHERE drive IS NULL AND plate IS NULL AND rig_time IS NULL AND settled IS NULL"));
        Assert.Equal("SKUA-014 6AU6 Skua pentode nominal up 191", await OneAsync("SELECT concat_ws(' ', tube, type, lot, connection, calibration_state, direction, (SELECT 191)) FROM t LIMIT 1"));
        Assert.Equal(Examples.Started.UtcDateTime, await OneAsync("SELECT started_utc FROM t LIMIT 1"));
        Assert.Equal(3L, await OneAsync("SELECT count(*) FROM t WHERE settled AND NOT clipped"));
        Assert.Equal(true, await OneAsync("SELECT bool_and(plate_current_uncertainty IS NULL) FROM t"));
        Assert.Equal(1.5e-3, await OneAsync("SELECT max(plate_current) FROM t"));
    }

    [Fact]
    public async Task Units_stand_in_the_metadata_of_file_and_columns()
    {
        await WriteAsync([(Record(Examples.Header()), [Curve(3)])]);
        var units = (string)(await OneAsync($"SELECT decode(value) FROM parquet_kv_metadata('{Path}') WHERE decode(key) = 'units'"))!;
        Assert.Contains("\"plate\":\"V\"", units, StringComparison.Ordinal);
        Assert.Contains("\"grid_current\":\"A\"", units, StringComparison.Ordinal);
        Assert.Contains("\"rig_time\":\"us\"", units, StringComparison.Ordinal);
        Assert.Equal("sweeprig-samples/1", await OneAsync($"SELECT decode(value) FROM parquet_kv_metadata('{Path}') WHERE decode(key) = 'format'"));
    }

    [Fact]
    public async Task Many_rows_go_into_groups_and_none_is_lost()
    {
        await WriteAsync([.. Enumerable.Range(0, 5).Select(i => (Record(Examples.Header(FormattableString.Invariant($"019d2f3a5b6c7d8e8f90a1b2c3d4000{i}"))), (IReadOnlyList<Curve>)[Curve(30_000)]))]);
        Assert.Equal(150_000L, await OneAsync("SELECT count(*) FROM t"));
        Assert.Equal(5L, await OneAsync("SELECT count(DISTINCT run) FROM t"));
        Assert.Equal(5 * (System.Numerics.BigInteger)(30_000L * 29_999 / 2), await OneAsync("SELECT sum(point) FROM t"));
        Assert.Equal(3L, await OneAsync($"SELECT count(DISTINCT row_group_id) FROM parquet_metadata('{Path}')"));
    }

    [Fact]
    public async Task Levels_keep_value_unit_uncertainty_and_why_there_is_none()
    {
        var header = Examples.Header();
        await using (var file = File.Create(Path))
        await using (var levels = await LevelsParquet.CreateAsync(file, "0.1.0", Cancel))
        {
            await levels.AddAsync([new(header, header.Passes[0], "vol", Awkward, "V", 0.01, 1.97, null, null), new(header, header.Passes[1], "fold-back-depth", null, "V", null, null, null, "none up to 24 V")], Cancel);
            await levels.EndAsync(Cancel);
        }
        Assert.Equal(Awkward, await OneAsync("SELECT value FROM t WHERE level = 'vol' AND unit = 'V' AND standard_uncertainty = 0.01 AND coverage_factor = 1.97 AND mark IS NULL"));
        Assert.Equal("none up to 24 V", await OneAsync("SELECT absent_because FROM t WHERE value IS NULL AND pass = 1 AND direction = 'down'"));
    }

    [Fact]
    public async Task The_csv_has_the_same_rows()
    {
        var run = Record(Examples.Header());
        Curve[] curves = [Curve(7) with { Plate = [1, 2, double.NaN, Awkward, 5, 6, 7] }];
        await WriteAsync([(run, curves)]);
        var csv = System.IO.Path.Combine(_directory.Path, "table.csv");
        await using (var writer = new StreamWriter(csv)) await CurveCsv.WriteAsync(run, curves, writer);
        Assert.Equal(7L, await OneAsync($"SELECT count(*) FROM t JOIN read_csv('{csv}', header = true) c ON t.point = c.point AND t.run = c.run AND t.plate IS NOT DISTINCT FROM c.\"plate (V)\" AND t.drive = c.\"drive (V)\""));
    }

    private static RunRecord Record(RunHeader header) => new(header, RunState.Complete, header.StartedUtc.AddSeconds(4), 4, [], []);

    private static Curve Curve(int points)
    {
        double[] Column(double value) => [.. Enumerable.Repeat(value, points)];
        return new()
        {
            Pass = new(0, PassDirection.Up, points, 0, null),
            Drive = [.. Enumerable.Range(0, points).Select(i => (double)i)],
            Plate = Column(28), Grid = Column(-1), Screen = Column(27), Supply = Column(28), PlateCurrent = Column(1.5e-3), ScreenCurrent = Column(5e-4), GridCurrent = Column(0),
            PlateUncertainty = Column(0.01),
            Flags = [.. Enumerable.Repeat(SampleFlags.Settled, points)],
            SampledAtTicks = [.. Enumerable.Range(0, points).Select(i => 2_000L * i)],
        };
    }

    private async Task WriteAsync(IReadOnlyList<(RunRecord Run, IReadOnlyList<Curve> Curves)> runs)
    {
        await using var file = File.Create(Path);
        await using var samples = await SamplesParquet.CreateAsync(file, "0.1.0", Cancel);
        foreach (var (run, curves) in runs) await samples.AddAsync(run, curves, Cancel);
        await samples.EndAsync(Cancel);
    }

    private async Task<object?> OneAsync(string sql)
    {
        await using var database = new DuckDBConnection("DataSource=:memory:");
        await database.OpenAsync(Cancel);
        await using var command = database.CreateCommand();
        command.CommandText = $"CREATE VIEW t AS SELECT * FROM read_parquet('{Path}');";
        await command.ExecuteNonQueryAsync(Cancel);
        command.CommandText = sql;
        return await command.ExecuteScalarAsync(Cancel);
    }
}
