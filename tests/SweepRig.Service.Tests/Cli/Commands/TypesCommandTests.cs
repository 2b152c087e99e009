using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class TypesCommandTests : IDisposable
{
    private const string Mine = """
        {
          "format": "tube-type/1", "type": "TIDE-1", "kind": "triode", "heaters": [{"volts": 6.3, "amperes": 0.3}],
          "base": {"name": "B7G", "pins": ["p", "nc", "h", "h", "nc", "g1", "k"], "confidence": "makers-sheet"},
          "ratings": [{"limit": "plate-watts", "value": 1.5, "system": "design-centre", "confidence": "makers-sheet"}],
          "sources": ["Invented for this test."]
        }
        """;

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_type_is_shown_with_what_it_is_held_to_and_why()
    {
        var run = await RunAsync("types show ecc83");
        Assert.Equal(0, run.ExitCode);
        foreach (var says in new[] { "12AX7 (ECC83), double-triode", "6.3 V 0.3 A or 12.6 V 0.15 A", "design-centre", "from memory sure", "section 2, triode b: p 1, g1 2, k 3",
            "A bench keeps plate dissipation at 0.8 W or less: 80 % of 1 W, which is from memory, with good reason to be sure.", "From memory of common tables" })
        {
            Assert.Contains(says, run.Output, StringComparison.Ordinal);
        }
        var json = JsonNode.Parse((await RunAsync("types show ecc83 --json")).Output)!;
        Assert.Equal(0.8, (double)json["limits"]![0]!["watts"]!, 12);
        Assert.Equal("design-centre", (string?)json["ratings"]![0]!["system"]);
    }

    [Fact]
    public async Task A_harmful_type_shows_its_caution_first()
    {
        var lines = (await RunAsync("types show 0A2")).Output.Split('\n');
        Assert.StartsWith("CAUTION", lines[1], StringComparison.Ordinal);
        Assert.StartsWith("Not swept.", lines[2], StringComparison.Ordinal);
        Assert.Contains("CAUTION; not swept", (await RunAsync("types list --kind gas-filled")).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_type_of_ones_own_is_checked_put_there_and_listed()
    {
        var file = _data.File("tide.json");
        await File.WriteAllTextAsync(file, Mine, TestContext.Current.CancellationToken);
        Assert.StartsWith("Good: TIDE-1, triode.", (await CliRun.OfAsync(_data.Path, ["types", "check", file])).Output, StringComparison.Ordinal);
        Assert.StartsWith("No type is like that.", (await RunAsync("types list --own")).Output, StringComparison.Ordinal);

        await PutAsync("tide.json", Mine);
        var own = (await RunAsync("types list --own")).Output;
        Assert.Contains("TIDE-1", own, StringComparison.Ordinal);
        Assert.Contains("yours", own, StringComparison.Ordinal);
        Assert.Contains("yours, from tide.json", (await RunAsync("types show tide-1")).Output, StringComparison.Ordinal);
        // Booked in by its name as the catalogue writes it, as any other.
        Assert.Equal(0, (await RunAsync("stock book Tide --type tide-1 --count 1")).ExitCode);
        Assert.StartsWith("TIDE-001, TIDE-1,", (await RunAsync("stock show tide-001")).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_replaced_type_is_said_to_be_replaced()
    {
        await PutAsync("mine.json", Mine.Replace("\"TIDE-1\"", "\"6C4\", \"replaces\": \"6C4\"", StringComparison.Ordinal));
        Assert.Contains("yours, in place of SweepRig's 6C4", (await RunAsync("types list --own")).Output, StringComparison.Ordinal);
        Assert.Contains("A bench keeps plate dissipation at 1.5 W or less.", (await RunAsync("types show 6C4")).Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("\"TIDE-1\"", "\"EF91\"", "/type", "SweepRig brings it as EF91, which stays in force", "Add \"replaces\": \"EF91\"")]
    [InlineData("\"value\": 1.5", "\"value\": -1.5", "/ratings/0/value", "value is -1.5 W", "The nearest allowed value is 0.01.")]
    public async Task What_is_wrong_is_told_with_file_place_value_and_remedy(string from, string to, string place, string says, string remedy)
    {
        await PutAsync("mine.json", Mine.Replace(from, to, StringComparison.Ordinal));
        foreach (var command in new[] { "types list", $"types check {Path.Combine(_data.Path, "types", "mine.json")}" })
        {
            var run = await RunAsync(command);
            Assert.Equal(2, run.ExitCode);
            foreach (var part in new[] { "mine.json", place, says, remedy }) Assert.Contains(part, run.Error, StringComparison.Ordinal);
        }
        // The bench would sweep that tube without its limits: it is not put together.
        var sweep = await RunAsync("sweep gentle-pentode --tube TIDE-001 --type TIDE-1");
        Assert.Equal(2, sweep.ExitCode);
        Assert.Contains("mine.json", Assert.Single(sweep.ErrorLines), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("types show 6AU7A-X", "the catalogue has none of that name")]
    [InlineData("types list --kind klystron", "--kind klystron: allowed is sharp-cutoff-pentode")]
    [InlineData("types check nowhere.json", "there is no such file")]
    public async Task Bad_input_gets_its_remedy(string command, string says)
    {
        var run = await RunAsync(command);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }

    private async Task PutAsync(string name, string json)
    {
        Directory.CreateDirectory(Path.Combine(_data.Path, "types"));
        await File.WriteAllTextAsync(Path.Combine(_data.Path, "types", name), json, TestContext.Current.CancellationToken);
    }

    private Task<CliRun> RunAsync(string command) => CliRun.OfAsync(_data.Path, command.Split(' '));
}
