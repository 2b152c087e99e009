using System.Text.Json.Nodes;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class AnalyseCommandTests : IDisposable
{
    private const string Run = "019d2f3a5b6c7d8e8f90a1b2c3d4e5f6";

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Every_level_is_told_and_what_does_not_exist_with_its_reason()
    {
        await RecordAsync();
        var run = await CliRun.OfAsync(_data.Path, ["analyse", "latest"]);
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        foreach (var expected in new[] { "VOH, highest output", "saturated plate resistance", "input current at VOH", "expanded uncertainty, k = ", "a single repeat says nothing", "do not exist here" })
            Assert.Contains(expected, run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("sensitivity", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_budget_comes_on_request()
    {
        await RecordAsync();
        var text = await CliRun.OfAsync(_data.Path, ["analyse", Run, "--budget"]);
        foreach (var expected in new[] { "source", "sensitivity", "calibration of the plate channel", "combined, k = " }) Assert.Contains(expected, text.Output, StringComparison.Ordinal);

        var json = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["analyse", Run, "--budget", "--json"])).Output)!;
        var figure = json["runs"]![0]!["curves"]![0]!["highestOutput"]!;
        var parts = figure["budget"]!.AsArray().Sum(line => Math.Pow((double)line!["part"]!, 2));
        Assert.Equal((double)figure["uncertainty"]!, Math.Sqrt(parts), 1e-9);
        var plain = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["analyse", Run, "--json"])).Output)!;
        Assert.Null(plain["runs"]![0]!["curves"]![0]!["highestOutput"]!["budget"]);
        Assert.Equal(2, plain["together"]!.AsArray().Count);
    }

    [Fact]
    public async Task A_run_that_does_not_exist_is_bad_input()
    {
        await RecordAsync();
        var run = await CliRun.OfAsync(_data.Path, ["analyse", "ffff"]);
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
    }

    private async Task RecordAsync()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancellation);
        await using var recording = await store.BeginAsync(Examples.Header(Run), cancellation);
        await recording.AppendAsync([Examples.Block(0), Examples.Block(7, frame: 1)], cancellation);
        await recording.EndAsync(Domain.Runs.RunState.Complete, Examples.Started.AddSeconds(4), cancellation);
    }
}
