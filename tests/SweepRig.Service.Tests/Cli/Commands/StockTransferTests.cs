using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>The stock out as a table and in again, and onto labels.</summary>
public sealed class StockTransferTests : IDisposable
{
    private readonly TemporaryData _data = new(), _other = new();

    public void Dispose()
    {
        _data.Dispose();
        _other.Dispose();
    }

    [Fact]
    public async Task A_stock_goes_out_and_in_again_without_loss()
    {
        await FillAsync();
        var file = _data.File("stock.csv");
        Assert.Contains("5 tubes in ", (await RunAsync("stock", "export", "--to", file)).Output, StringComparison.Ordinal);

        var looked = await CliRun.OfAsync(_other.Path, ["stock", "import", file]);
        Assert.Contains("Nothing is changed", looked.Output, StringComparison.Ordinal);
        Assert.Contains("No tubes in ", (await CliRun.OfAsync(_other.Path, ["stock", "list"])).Output, StringComparison.Ordinal);

        Assert.Equal(0, (await CliRun.OfAsync(_other.Path, ["stock", "import", file, "--apply"])).ExitCode);
        Assert.Equal((await RunAsync("stock", "export")).Output, (await CliRun.OfAsync(_other.Path, ["stock", "export"])).Output);
        Assert.Equal((await RunAsync("stock", "list", "--json")).Output, (await CliRun.OfAsync(_other.Path, ["stock", "list", "--json"])).Output);
        // The numbers go on where they were.
        Assert.Equal("Booked in: SKUA-004.", (await CliRun.OfAsync(_other.Path, ["stock", "book", "Skua", "--count", "1"])).Output.TrimEnd());
    }

    [Fact]
    public async Task Of_a_table_with_one_fault_nothing_comes_in()
    {
        await FillAsync();
        var before = (await RunAsync("stock", "export")).Output;
        foreach (var (csv, says) in new[]
        {
            ("tube,lot\nSKUA-009,Skua\nSKUA-002,Skua\n", "SKUA-002 is to come into the stock; the stock has a tube of that number"),
            ("tube,lot\nTERN-001,Tern\nSKUA-010,Petrel\n", "The numbers of Petrel are to begin with SKUA; they begin with PETREL"),
            ("tube,lot\nSKUA-011,Gulls\n", "those of lot Skua do"),
            ("tube,lot\nTERN-001,Tern\nTERN-001,Tern\n", "it stands in line 2 already"),
        })
        {
            var run = await CliRun.OfAsync(_data.Path, ["stock", "import", "-", "--apply"], csv);
            Assert.Equal(2, run.ExitCode);
            Assert.Contains(says, run.Error, StringComparison.Ordinal);
            Assert.Equal(before, (await RunAsync("stock", "export")).Output);
        }
    }

    [Fact]
    public async Task Labels_are_written_for_lots_and_numbers()
    {
        await FillAsync();
        var file = _data.File("labels.pdf");
        var run = await RunAsync("stock", "labels", "Skua", "petrel-002", "--to", file, "--skip", "42", "--json");
        var written = JsonNode.Parse(run.Output)!;
        // One of the three tubes of Skua is retired.
        Assert.Equal((3, 2), ((int)written["labels"]!, (int)written["sheets"]!));
        Assert.Equal("%PDF"u8.ToArray(), (await File.ReadAllBytesAsync(file, TestContext.Current.CancellationToken))[..4]);
    }

    [Theory]
    [InlineData("stock labels Tern --to {0}", "no tube of that number and no lot of that name")]
    [InlineData("stock labels Skua --to {0} --skip 44", "a sheet has 44")]
    [InlineData("stock labels Skua --to {0} --grid 3", "allowed are two numbers with an x between them")]
    [InlineData("stock labels Skua --to {0} --grid 5x10", "columns need 240 mm")]
    [InlineData("stock import nowhere.csv", "there is no such file")]
    [InlineData("stock export --lot Tern", "the stock has no tubes like that")]
    public async Task Bad_input_gets_its_remedy_and_writes_nothing(string command, string says)
    {
        await FillAsync();
        var file = _data.File("labels.pdf");
        var run = await RunAsync([.. command.Split(' ').Select(w => w == "{0}" ? file : w)]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
        Assert.False(File.Exists(file));
    }

    private async Task FillAsync()
    {
        await RunAsync("stock", "book", "Skua", "--type", "EF91", "--count", "3", "--origin", "coast radio, north", "--price", "40 EUR", "--place", "drawer \"3\"");
        await RunAsync("stock", "book", "Petrel", "--count", "2");
        await RunAsync("stock", "identify", "PETREL-002", "6BH6");
        await RunAsync("stock", "use", "SKUA-001", "tide clock, bit 2");
        await RunAsync("stock", "retire", "SKUA-003", "white getter");
    }

    private Task<CliRun> RunAsync(params string[] arguments) => CliRun.OfAsync(_data.Path, arguments);
}
