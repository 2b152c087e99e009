using System.Text.Json;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>A lot of six drawn tubes, of which the last is retired.</summary>
public sealed class LogicChooseCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_lot_gives_a_placement_with_runner_up_spares_and_a_bound()
    {
        await ModelledLot.StoreAsync(_data.Path, 6);
        var free = await JsonAsync("choose", "nor", "--lot", "skua");
        string[] best = Numbers(free);
        Assert.Equal(2, best.Distinct().Count());
        var margin = free.GetProperty("marginVolts").GetDouble();
        Assert.InRange(margin, 0.1, free.GetProperty("boundVolts").GetDouble() + 1e-9);
        Assert.InRange(free.GetProperty("runnerUp").GetProperty("marginVolts").GetDouble(), 0, margin + 2e-3);
        // Not every tube of a drawn lot makes a gate.
        Assert.Equal(2, free.GetProperty("spares").GetArrayLength());
        Assert.All(free.GetProperty("spares").EnumerateArray(), s => Assert.InRange(s.GetProperty("tubes")[0].GetProperty("marginVolts").GetDouble(), 1e-3, margin + 2e-3));

        var place = free.GetProperty("tubes")[0].GetProperty("position").GetString();
        var spare = free.GetProperty("spares")[0].GetProperty("tubes")[0];
        var pinned = await JsonAsync("choose", "nor", "--lot", "skua", "--pin", $"{place}={spare.GetProperty("number").GetString()!.ToLowerInvariant()}", "--not", best[0]);
        Assert.Equal(spare.GetProperty("number").GetString(), Numbers(pinned)[0]);
        Assert.DoesNotContain(best[0], Numbers(pinned));
        Assert.True(pinned.GetProperty("marginVolts").GetDouble() <= margin + 2e-3);
        Assert.DoesNotContain(pinned.GetProperty("spares").EnumerateArray(), s => s.GetProperty("position").GetString() == place);

        var text = await CliRun.OfAsync(_data.Path, ["logic", "choose", "nor", "--lot", "skua", "--spares", "1"]);
        foreach (var expected in (string[])["no placement of these tubes has more than", "Runner-up", best[0], best[1]]) Assert.Contains(expected, text.Output, StringComparison.Ordinal);
        var few = await CliRun.OfAsync(_data.Path, ["logic", "choose", "half-adder", "--lot", "skua"]);
        Assert.Equal(2, few.ExitCode);
        Assert.Contains("has 8 positions, and 4 tubes ", few.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("nor", "Name tubes of the stock, or a lot.")]
    [InlineData("nr --lot Skua", "Did you mean nor?")]
    [InlineData("nor --lot Skua", "sweeprig stock book")]
    [InlineData("nor --lot Skua --pin V_q_1", "PLACE=NUMBER")]
    [InlineData("nor --lot Skua --pin V_q_1=SKUA-001 --pin V_q_1=SKUA-002", "Leave one of them out")]
    [InlineData("nor --lot Skua --spares 40", "The best come first.")]
    public async Task What_cannot_be_chosen_says_what_to_do(string asked, string remedy)
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", "choose", .. asked.Split(' ')]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(remedy, run.Error, StringComparison.Ordinal);
    }

    private async Task<JsonElement> JsonAsync(params string[] words)
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", .. words, "--json"]);
        Assert.True(run.ExitCode == 0, run.Error);
        return JsonElement.Parse(run.Output);
    }

    private static string[] Numbers(JsonElement choice) => [.. choice.GetProperty("tubes").EnumerateArray().Select(t => t.GetProperty("number").GetString()!)];
}
