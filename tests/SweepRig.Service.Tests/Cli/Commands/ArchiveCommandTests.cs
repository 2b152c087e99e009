using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>A lot and its runs from one bench to another.</summary>
public sealed class ArchiveCommandTests : IDisposable
{
    private readonly TemporaryData _one = new(), _other = new();

    private string Archive => _one.File("skua.zip");

    public void Dispose()
    {
        _one.Dispose();
        _other.Dispose();
    }

    [Fact]
    public async Task A_lot_is_judged_at_the_other_bench_as_at_its_own_and_coming_again_changes_nothing()
    {
        await ModelledLot.StoreAsync(_one.Path, 5);
        var written = JsonNode.Parse((await RunAsync(_one, "archive write", Archive, "--lot Skua --json")).Output)!;
        Assert.Equal((4, 5, 1, 1), (written["runs"]!.AsArray().Count, (int)written["tubes"]!, (int)written["lots"]!, (int)written["types"]!));

        var looked = await RunAsync(_other, "archive look", Archive);
        Assert.Equal(0, looked.ExitCode);
        Assert.Contains("runs                    4             0", looked.Output, StringComparison.Ordinal);
        Assert.Contains("Nothing is changed; sweeprig archive read takes it in.", looked.Output, StringComparison.Ordinal);
        Assert.Equal("[]", (await RunAsync(_other, "stock list --json")).Output.Trim());

        var read = await RunAsync(_other, "archive read", Archive);
        Assert.Equal((0, ""), (read.ExitCode, read.Error));
        Assert.Contains("All of it is taken in.", read.Output, StringComparison.Ordinal);
        foreach (var command in (string[])["stock list --json", "stock show SKUA-004 --json", "match Skua --json", "runs show latest --json", "runs export latest"])
            Assert.Equal((await RunAsync(_one, command)).Output, (await RunAsync(_other, command)).Output);

        var again = JsonNode.Parse((await RunAsync(_other, "archive read", Archive, "--json")).Output)!;
        Assert.Equal((true, 4, 5), ((bool)again["takenIn"]!, (int)again["sameRuns"]!, (int)again["sameTubes"]!));
        Assert.Contains("Nothing has changed", (await RunAsync(_other, "archive read", Archive)).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Conflicts_are_shown_and_nothing_comes_in_unless_told_to()
    {
        await ModelledLot.StoreAsync(_one.Path, 3);
        await ModelledRun.StoreAsync(_one.Path, new ModelledRun(PlanExamples.GentlePentode) { Label = new("PETREL-001", "6BH6", "Petrel") });
        await RunAsync(_one, "archive write", Archive);
        await RunAsync(_other, "stock book Skua --type EF91 --count 2");

        var stopped = await RunAsync(_other, "archive read", Archive);
        Assert.Equal(3, stopped.ExitCode);
        Assert.Contains("Conflict: lot Skua: here EF91, numbers SKUA-..., booked in", stopped.Output, StringComparison.Ordinal);
        Assert.Contains("Nothing is taken in.", stopped.Output, StringComparison.Ordinal);
        Assert.Contains("No runs", (await RunAsync(_other, "runs list")).Output, StringComparison.Ordinal);

        var kept = JsonNode.Parse((await RunAsync(_other, "archive read", Archive, "--keep-here --json")).Output)!;
        Assert.Equal((true, 1), ((bool)kept["takenIn"]!, kept["newRuns"]!.AsArray().Count));
        Assert.Equal(2, JsonNode.Parse((await RunAsync(_other, "stock list --json")).Output)!.AsArray().Count);
    }

    [Fact]
    public async Task A_type_of_ones_own_comes_along_and_is_kept_when_told_to()
    {
        const string mine = """
            {
              "format": "tube-type/1", "type": "TIDE-1", "kind": "triode", "heaters": [{"volts": 6.3, "amperes": 0.3}],
              "base": {"name": "B7G", "pins": ["p", "nc", "h", "h", "nc", "g1", "k"], "confidence": "makers-sheet"},
              "ratings": [{"limit": "plate-watts", "value": 1.5, "system": "design-centre", "confidence": "makers-sheet"}],
              "sources": ["Invented for this test."]
            }
            """;
        Directory.CreateDirectory(_one.File("types"));
        await File.WriteAllTextAsync(_one.File("types/tide.json"), mine, TestContext.Current.CancellationToken);
        Assert.Equal(0, (await RunAsync(_one, "stock book Petrel --type TIDE-1 --count 1")).ExitCode);
        await RunAsync(_one, "archive write", Archive);
        Assert.Contains("Types that are not known here: TIDE-1.", (await RunAsync(_other, "archive look", Archive)).Error, StringComparison.Ordinal);
        Assert.Equal(2, (await RunAsync(_other, "types show TIDE-1")).ExitCode);
        Assert.Contains("Type TIDE-1 is new here", (await RunAsync(_other, "archive read", Archive, "--types")).Error, StringComparison.Ordinal);
        Assert.Equal(mine, await File.ReadAllTextAsync(_other.File("types/TIDE-1.json"), TestContext.Current.CancellationToken));
        Assert.Equal((await RunAsync(_one, "types show TIDE-1")).Output.Replace("tide.json", "TIDE-1.json", StringComparison.Ordinal).Replace(_one.Path, _other.Path, StringComparison.Ordinal), (await RunAsync(_other, "types show TIDE-1")).Output);
    }

    [Fact]
    public async Task What_is_no_archive_or_not_there_is_bad_input()
    {
        await ModelledLot.StoreAsync(_one.Path, 2);
        await File.WriteAllTextAsync(_one.File("letter.txt"), "Dear Sir", TestContext.Current.CancellationToken);
        foreach (var (command, says) in new[]
        {
            ($"archive read {_one.File("letter.txt")}", "cut short, or is no archive"),
            ($"archive look {_one.File("none.zip")}", "there is no such file"),
            ($"archive write {Archive} --lot Petrel", "the stock has none of that name"),
            ($"archive write {Archive} --tube SKUA-077", "the stock has none of that number"),
            ($"archive write {Archive} --run abcdef", "there is none of that id here"),
        })
        {
            var run = await CliRun.OfAsync(_one.Path, command.Split(' '));
            Assert.Equal(2, run.ExitCode);
            Assert.Contains(says, Assert.Single(run.ErrorLines), StringComparison.Ordinal);
        }
        Assert.False(File.Exists(Archive));
    }

    [Fact]
    public async Task An_end_by_the_operator_leaves_neither_half_a_file_nor_the_old_one_harmed()
    {
        await ModelledLot.StoreAsync(_one.Path, 2);
        await File.WriteAllTextAsync(Archive, "an older one", TestContext.Current.CancellationToken);
        foreach (var command in (string[])[$"archive write {Archive}", $"runs export --lot Skua --output {Archive}"])
        {
            var ended = await CliRun.OfAsync(_one.Path, command.Split(' '), cancellationToken: new CancellationToken(canceled: true));
            Assert.Equal(1, ended.ExitCode);
            Assert.Equal("an older one", await File.ReadAllTextAsync(Archive, TestContext.Current.CancellationToken));
        }
        Assert.Equal([Archive], Directory.GetFiles(_one.Path, "skua*"));
    }

    private static Task<CliRun> RunAsync(TemporaryData bench, string command, string? file = null, string options = "") =>
        CliRun.OfAsync(bench.Path, [.. command.Split(' '), .. file is null ? [] : (string[])[file], .. options.Split(' ', StringSplitOptions.RemoveEmptyEntries)]);
}
