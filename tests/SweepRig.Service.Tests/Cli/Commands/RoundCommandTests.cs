using System.Text.Json.Nodes;
using SweepRig.Domain.Plans;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Rounds;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Rounds from the command line, on a simulated bench of their own.</summary>
[Collection(RealTime.Name)]
public sealed class RoundCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Practice_hands_take_twelve_tubes_through_and_the_stock_has_every_verdict()
    {
        await RunAsync("stock", "book", "Skua", "--type", "6AU6", "--count", "12");
        var round = await RunAsync("round", "--lot", "Skua", "--plan", await PlanAsync(), "--heater-speed", "1000", "--practice-hands", "0", "--json");
        Assert.True(round.ExitCode == 0, round.Error);
        var told = JsonNode.Parse(round.Output)!;
        Assert.Equal(12, told["results"]!.AsArray().Count);
        Assert.Contains("> SKUA-001 into socket 0.", round.Error, StringComparison.Ordinal);
        Assert.Contains("bound", round.Error, StringComparison.Ordinal);
        Assert.Contains("puller", round.Error, StringComparison.Ordinal);

        var screened = JsonNode.Parse((await RunAsync("stock", "list", "--state", "screened", "--json")).Output)!.AsArray();
        Assert.Equal(12, screened.Count);
        // Nothing of the lot is new any more.
        var more = await RunAsync("round", "--lot", "Skua", "--practice-hands", "0");
        Assert.Equal(2, more.ExitCode);
        Assert.Contains("none is new", more.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Typed_lines_name_tubes_and_sockets_and_a_mistake_is_told()
    {
        await RunAsync("stock", "book", "Skua", "--type", "6AU6", "--count", "3");
        var round = await TypedAsync("2\ns1\n2\n\naside 3 bent pin\n", "round", "--plan", await PlanAsync(), "--sockets", "0,1", "--heater-speed", "1000");
        Assert.True(round.ExitCode == 0, round.Error);
        Assert.Contains("SKUA-002", round.Output, StringComparison.Ordinal);
        Assert.Contains("put aside: bent pin", round.Output, StringComparison.Ordinal);
        Assert.Contains("socket 1. Read the number again", round.Error, StringComparison.Ordinal);
        Assert.Contains("2 swept in", round.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task When_no_more_lines_come_the_round_ends_and_the_rest_stays_new()
    {
        await RunAsync("stock", "book", "Skua", "--type", "6AU6", "--count", "3");
        var round = await TypedAsync("\n", "round", "--plan", await PlanAsync(), "--sockets", "0", "--heater-speed", "1000");
        Assert.Equal(3, round.ExitCode);
        Assert.Contains("the round ends here", round.Error, StringComparison.Ordinal);
        Assert.Equal(2, JsonNode.Parse((await RunAsync("stock", "list", "--state", "new", "--json")).Output)!.AsArray().Count);
    }

    [Fact]
    public async Task A_round_that_was_cut_short_goes_on_with_what_the_stock_says_is_new()
    {
        await RunAsync("stock", "book", "Skua", "--type", "6AU6", "--count", "5");
        string[] line = ["round", "--lot", "Skua", "--plan", await PlanAsync(), "--sockets", "0,1", "--heater-speed", "1000", "--practice-hands", "0"];
        using var cut = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var first = CliRun.OfAsync(_data.Path, line, cancellationToken: cut.Token);
        await Eventually.HoldsAsync("a tube to be screened", async () => (await ScreenedAsync()).Length > 0);
        await cut.CancelAsync();
        Assert.Equal(1, (await first).ExitCode);
        var before = await ScreenedAsync();
        Assert.InRange(before.Length, 1, 4);

        var second = await RunAsync([.. line, "--json"]);
        Assert.True(second.ExitCode == 0, second.Error);
        var after = JsonNode.Parse(second.Output)!["results"]!.AsArray().Select(r => (string)r!["tube"]!).ToArray();
        Assert.Equal(["SKUA-001", "SKUA-002", "SKUA-003", "SKUA-004", "SKUA-005"], before.Concat(after).Order());
    }

    [Fact]
    public async Task A_command_joins_the_round_of_the_running_service()
    {
        await using var bench = await TestBench.StartWholeAsync();
        var served = new ServedRound(bench);
        await served.BookAsync("Skua", 3);
        var odd = await CliRun.OfAsync(bench.Directory, ["round", "--impostors", "3"]);
        Assert.Equal(2, odd.ExitCode);
        Assert.Contains("has the rig", odd.Error, StringComparison.Ordinal);
        await served.BegunAsync("Skua", 0, 1);
        var joined = await CliRun.OfAsync(bench.Directory, ["round", "--practice-hands", "0"]);
        Assert.True(joined.ExitCode == 0, joined.Error);
        Assert.Contains("Going on with the round under way: 0 of 3", joined.Error, StringComparison.Ordinal);
        Assert.Contains("3 swept in", joined.Output, StringComparison.Ordinal);
    }

    private async Task<string[]> ScreenedAsync() =>
        [.. JsonNode.Parse((await RunAsync("stock", "list", "--state", "screened", "--json")).Output)!.AsArray().Select(t => (string)t!["label"]!)];

    private Task<CliRun> RunAsync(params string[] arguments) => CliRun.OfAsync(_data.Path, arguments);

    private Task<CliRun> TypedAsync(string input, string command, params string[] arguments) => CliRun.OfAsync(_data.Path, [command, .. arguments], input);

    private async Task<string> PlanAsync()
    {
        var file = Path.Combine(_data.Path, "plan.json");
        Directory.CreateDirectory(_data.Path);
        await File.WriteAllTextAsync(file, PlanDocument.Write(ServedRound.QuickPlan), TestContext.Current.CancellationToken);
        return file;
    }
}
