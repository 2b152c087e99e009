using System.Text.Json.Nodes;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Cli.Commands;

[Collection(RealTime.Name)]
public sealed class AskCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task The_best_sweep_is_told_and_its_plan_is_one_that_sweep_takes()
    {
        Assert.Equal(0, (await CliRun.OfAsync(_data.Path, ["demo", "--once", "--data", _data.Path])).ExitCode);
        var file = _data.File("next.json");

        var told = await CliRun.OfAsync(_data.Path, ["ask", "latest", "--plan", file]);
        Assert.True(told.ExitCode == 0, told.Error);
        var lines = told.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Contains("the switching point", lines[0], StringComparison.Ordinal);
        Assert.Contains(lines, l => l.Contains("plate resistor", StringComparison.Ordinal) && l.Contains("expected", StringComparison.Ordinal));
        Assert.EndsWith($"Plan 1 is in {file}.", lines[^1], StringComparison.Ordinal);
        Assert.True(PlanDocument.Parse(await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken)).IsAccepted);

        var asked = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["ask", "latest", "--want", "screenMu", "--highest-drive", "0", "--json"])).Output)!;
        var candidates = asked["candidates"]!.AsArray();
        Assert.True((double)candidates[0]!["uncertainty"]! <= (double)asked["now"]!);
        Assert.All(candidates, c => Assert.False((bool)c!["needsPermit"]!));
        Assert.All(candidates, c => Assert.True(PlanDocument.Parse(c!["plan"]!.ToJsonString()).IsAccepted));

        // Into a pipe goes the plan alone.
        var piped = await CliRun.OfAsync(_data.Path, ["ask", "latest", "--want", "output@-1", "--plan", "-", "--choose", "2"]);
        Assert.True(PlanDocument.Parse(piped.Output).IsAccepted, piped.Output);
        Assert.Contains("the output at -1 V of drive", piped.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_cannot_be_asked_is_said_in_words()
    {
        var empty = await CliRun.OfAsync(_data.Path, ["ask", "latest"]);
        Assert.Equal(2, empty.ExitCode);
        Assert.Contains("No runs in", empty.Error, StringComparison.Ordinal);

        await RecordAsync();
        var unknown = await CliRun.OfAsync(_data.Path, ["ask", "latest", "--want", "mu"]);
        Assert.Equal(2, unknown.ExitCode);
        Assert.Contains("quantity \"mu\"", unknown.Error, StringComparison.Ordinal);
        Assert.Contains("screenMu", unknown.Error, StringComparison.Ordinal);

        // Two points are no tube: no sweep is said to be better than another.
        var refused = await CliRun.OfAsync(_data.Path, ["ask", "latest"]);
        Assert.Equal(2, refused.ExitCode);
        Assert.Contains("usable points", refused.Error, StringComparison.Ordinal);
        Assert.Empty(refused.Output);

        var choose = await CliRun.OfAsync(_data.Path, ["ask", "latest", "--choose", "2"]);
        Assert.Equal(2, choose.ExitCode);
        Assert.Contains("--choose without --plan", choose.Error, StringComparison.Ordinal);
    }

    private async Task RecordAsync()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancellation);
        var header = Examples.Header();
        await using var recording = await store.BeginAsync(header, cancellation);
        await recording.AppendAsync([Examples.Block(0, 2)], cancellation);
        await recording.EndAsync(RunState.Complete, header.StartedUtc.AddSeconds(4), cancellation);
    }
}
