using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Runs of tubes and lots into files of every form.</summary>
public sealed class RunsExportCommandTests : IAsyncLifetime, IDisposable
{
    private const int Points = 141;

    private static readonly int Levels = SweepRig.Analysis.Levels.NamedLevels.All.Count;

    private readonly TemporaryData _data = new();

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public void Dispose() => _data.Dispose();

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    public async ValueTask InitializeAsync() => await ModelledLot.StoreAsync(_data.Path, 4);

    [Fact]
    public async Task A_lot_goes_into_tables_of_samples_and_levels()
    {
        var (samples, levels) = (_data.File("s.csv"), _data.File("l.csv"));
        await GoodAsync($"runs export --lot Skua --output {samples} --levels {levels}");
        var rows = await File.ReadAllLinesAsync(samples, Cancellation);
        Assert.Equal(1 + 3 * Points, rows.Length);
        Assert.Equal(["SKUA-001", "SKUA-002", "SKUA-003"], rows.Skip(1).Select(r => r.Split(',')[2]).Distinct().Order());
        var told = await File.ReadAllLinesAsync(levels, Cancellation);
        Assert.Equal(1 + 3 * Levels, told.Length);
        Assert.StartsWith("run,started (UTC),tube,", told[0], StringComparison.Ordinal);
        Assert.EndsWith("level,value,unit,standard uncertainty,coverage factor,mark,absent because", told[0], StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_ending_says_the_form_and_json_says_the_same_as_csv()
    {
        var (parquet, json) = (_data.File("s.parquet"), _data.File("l.json"));
        await GoodAsync($"runs export --tube skua-002 --output {parquet} --levels {json}");
        // Magic number at both ends: Apache Parquet format, "File format".
        var bytes = await File.ReadAllBytesAsync(parquet, Cancellation);
        Assert.Equal("PAR1PAR1"u8.ToArray(), bytes[..4].Concat(bytes[^4..]));
        var items = JsonNode.Parse(await File.ReadAllTextAsync(json, Cancellation))!["items"]!.AsArray();
        Assert.Equal(Levels, items.Count);
        var csv = _data.File("l.csv");
        await GoodAsync($"runs export --tube SKUA-002 --levels {csv}");
        var vol = (await File.ReadAllLinesAsync(csv, Cancellation)).Single(r => r.Contains(",vol,", StringComparison.Ordinal)).Split(",vol,")[1].Split(',');
        var item = items.Single(i => (string?)i!["level"] == "vol")!;
        Assert.Equal(double.Parse(vol[0], System.Globalization.CultureInfo.InvariantCulture), (double)item["value"]!);
        Assert.Equal(("V", "SKUA-002"), ((string?)item["unit"], (string?)item["tube"]!["label"]));
    }

    [Theory]
    [InlineData("runs export", "Give an ID, --tube NUMBER or --lot NAME.")]
    [InlineData("runs export --lot Skua", "Give --output FILE for the samples, --levels FILE for the levels, or both.")]
    [InlineData("runs export --lot Petrel --levels x.csv", "the stock has none of that name")]
    [InlineData("runs export --tube SKUA-004 --levels x.csv", "none is on record")]
    [InlineData("runs export --lot Skua --levels x.csv --calibration cal-9", "cal-9")]
    public async Task What_cannot_be_exported_says_what_to_do(string command, string says)
    {
        var run = await CliRun.OfAsync(_data.Path, command.Split(' '));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
        Assert.False(File.Exists("x.csv"));
    }

    private async Task GoodAsync(string command)
    {
        var run = await CliRun.OfAsync(_data.Path, command.Split(' '));
        Assert.Equal((0, "", ""), (run.ExitCode, run.Output, run.Error));
    }
}
