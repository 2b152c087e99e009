using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Studies;

/// <summary>The exploration from the shell, on the simulated rig.</summary>
[Collection(RealTime.Name)]
public sealed class ExploreCommandTests : IDisposable
{
    private static readonly string[] Asked = ["explore", "--tube", "SKUA-014", "--type", "6AU6", "--heater-speed", "1000", "--rest", "0"];

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task It_explores_under_a_permit_of_its_own_and_keeps_every_sweep()
    {
        var run = await CliRun.OfAsync(_data.Path, [.. Asked, "--ceiling", "1", "--reason", "how far", "--json"]);
        Assert.Equal(0, run.ExitCode);
        var view = JsonNode.Parse(run.Output)!;
        Assert.Equal(("completed", 1.0), ((string?)view["end"], (double)view["figures"]![0]!["figure"]!["value"]!));
        Assert.Equal(7, view["runs"]!.AsArray().Count);
        Assert.Contains("hot glass burns", run.Error, StringComparison.Ordinal);
        Assert.Contains("reference 5 of 5 before positive drive", run.Error, StringComparison.Ordinal);
        // Nothing of it is stored but its runs: it is made anew from them.
        var again = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["runs", "study", "latest", "--json"])).Output)!;
        Assert.Equal(view["figures"]!.ToJsonString(), again["figures"]!.ToJsonString());
        var positive = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["runs", "show", (string)view["runs"]![5]!, "--json"])).Output)!;
        Assert.Contains("how far", positive.ToJsonString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("exploration-ceiling", "above 0 V, up to this rig's ceiling of 26 V, is allowed", "--ceiling", "40", "--reason", "x")]
    [InlineData("exploration-grid-current", "up to this rig's 8 mA", "--ceiling", "12", "--reason", "x", "--grid-current", "0.5")]
    public async Task What_the_rig_does_not_bear_is_refused_before_anything_is_heated(string code, string says, params string[] more)
    {
        var run = await CliRun.OfAsync(_data.Path, [.. Asked, .. more, "--json"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Equal(code, (string?)JsonNode.Parse(run.Output)!["refusals"]![0]!["code"]);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
        Assert.Equal(2, (await CliRun.OfAsync(_data.Path, ["runs", "study", "latest"])).ExitCode);
    }

    [Theory]
    [InlineData("--reason", "--ceiling", "12")]
    [InlineData("--ceiling", "--reason", "x")]
    [InlineData("--step", "--ceiling", "12", "--reason", "x", "--step", "9")]
    [InlineData("--rest", "--ceiling", "12", "--reason", "x", "--rest", "-1")]
    public async Task What_is_missing_or_out_of_range_is_named(string name, params string[] given)
    {
        var run = await CliRun.OfAsync(_data.Path, ["explore", "--tube", "SKUA-014", "--type", "6AU6", .. given]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(name, run.Error, StringComparison.Ordinal);
    }
}
