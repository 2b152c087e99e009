using System.Text.Json.Nodes;
using SweepRig.Service.Hosting;
using SweepRig.Service.Interlocks;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class InterlocksCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task All_rules_are_listed_and_the_benchs_own_are_marked()
    {
        await SetAsync("""{ "limits": { "grid-current": { "attended": 5 } } }""");
        var run = await RunAsync("interlocks");
        Assert.Equal(0, run.ExitCode);
        Assert.All(InterlockRules.All, r => Assert.Contains(r.Id, run.Output, StringComparison.Ordinal));
        Assert.Matches(@"grid-current +5 +5 +mA +yours", run.Output);
        Assert.Contains("not a personnel safety system", run.Output, StringComparison.Ordinal);
        var rules = JsonNode.Parse((await RunAsync("interlocks --json")).Output)!["rules"]!.AsArray();
        Assert.Equal(InterlockRules.All.Count, rules.Count);
    }

    [Fact]
    public async Task One_rule_tells_hazard_limit_range_source_and_remedy()
    {
        var run = await RunAsync("interlocks grid-current");
        foreach (var says in new[] { "Hazard. Grid 1 is fine wire", "8 mA attended, 6 mA unattended", "0.1 to 20 mA may be set", "Ohm's law", "When it has fired. Lower the highest drive" })
            Assert.Contains(says, run.Output.ReplaceLineEndings(" ").Replace("   ", " ", StringComparison.Ordinal), StringComparison.Ordinal);
        var unknown = await RunAsync("interlocks grid-curent");
        Assert.Equal(2, unknown.ExitCode);
        Assert.Contains("Did you mean grid-current?", unknown.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Limits_at_fault_are_told_and_no_bench_is_put_together_on_them()
    {
        await SetAsync("""{ "limits": { "grid-current": { "attended": 99 }, "drive-ceiling": { "unattended": 30 } } }""");
        var run = await RunAsync("interlocks");
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("99 mA", run.Error, StringComparison.Ordinal);
        Assert.Contains("30 V", run.Error, StringComparison.Ordinal);
        var fault = Assert.Throws<BenchStartException>(() => BenchRuleFile.ReadForBench(_data.Path));
        Assert.True(fault.BadInput);
        Assert.Contains("And 1 more", fault.Message, StringComparison.Ordinal);
    }

    private Task<CliRun> RunAsync(string line) => CliRun.OfAsync(_data.Path, line.Split(' '));

    private async Task SetAsync(string json) => await File.WriteAllTextAsync(BenchRuleFile.PlaceOf(_data.Path), json, TestContext.Current.CancellationToken);
}
