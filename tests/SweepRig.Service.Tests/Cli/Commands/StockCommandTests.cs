using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class StockCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Theory]
    [InlineData("list")]
    [InlineData("list --lots")]
    public async Task An_empty_stock_teaches_the_first_step(string command)
    {
        var run = await RunAsync($"stock {command}");
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("Book some in: sweeprig stock book LOT --count N.", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_lot_is_booked_in_found_and_followed()
    {
        Assert.Equal("Booked in: 40 tubes, SKUA-001 to SKUA-040.", (await RunAsync("stock book Skua --type ef91 --count 40 --place drawer")).Output.TrimEnd());
        Assert.Equal("Booked in: SKUA-041.", (await RunAsync("stock book Skua --count 1")).Output.TrimEnd());
        Assert.Equal(0, (await RunAsync("stock use skua-014 clock")).ExitCode);

        var shown = await RunAsync("stock show skua-014");
        Assert.StartsWith("SKUA-014, EF91, of lot Skua\nin use at clock\n", shown.Output.ReplaceLineEndings("\n"), StringComparison.Ordinal);
        Assert.Contains("put to use", shown.Output, StringComparison.Ordinal);

        var json = JsonNode.Parse((await RunAsync("stock list --find clock --json")).Output)!.AsArray();
        Assert.Equal("in use", (string?)Assert.Single(json)!["state"]);
        Assert.Equal(["booked in", "identified as", "moved to", "put to use"], json[0]!["history"]!.AsArray().Select(h => (string?)h!["kind"]));
        Assert.Contains("41", (await RunAsync("stock list --lots")).Output, StringComparison.Ordinal);
        Assert.EndsWith("40 tubes.", (await RunAsync("stock list --state new")).Output.TrimEnd(), StringComparison.Ordinal);
        Assert.StartsWith("No tube is like that.", (await RunAsync("stock list --state retired")).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_type_with_a_harmful_filling_brings_its_caution()
    {
        var run = await RunAsync("stock book Petrel --type 0A2 --count 1");
        Assert.Contains("radioactive", run.Output, StringComparison.Ordinal);
        Assert.Contains("radioactive", (await RunAsync("stock show PETREL-001")).Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("stock book Skua", "--count")]
    [InlineData("stock book Skua --count 0", "--count 0")]
    [InlineData("stock book *** --count 1", "capital letters")]
    [InlineData("stock list --state lost", "allowed is new, screened, graded, in use, retired")]
    [InlineData("stock show SKUA-014", "the stock has none of that number")]
    [InlineData("stock retire SKUA-014 cracked", "book it in first")]
    public async Task What_is_wrong_is_said_with_what_to_do(string command, string says)
    {
        var run = await RunAsync(command);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }

    private Task<CliRun> RunAsync(string command) => CliRun.OfAsync(_data.Path, command.Split(' '));
}
