using System.Text.Json.Nodes;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Plans;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class ExportCommandTests : IDisposable
{
    private const string First = "019d2f3a5b6c7d8e8f90a1b2c3d4e5f6";
    private const string Second = "019d2f3a7777708e8f90a1b2c3d4e5f6";

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_tube_swept_in_both_connections_becomes_a_subcircuit()
    {
        var (pentode, triode) = (new ModelledRun(PlanExamples.FarPositivePentode), new ModelledRun(PlanExamples.FarPositiveTriode) { Seed = 2 });
        await ModelledRun.StoreAsync(_data.Path, pentode, triode);
        string[] ids = [pentode.Id, triode.Id];
        var file = _data.File("tube.lib");

        var run = await CliRun.OfAsync(_data.Path, ["export", .. ids, "--spice", file, "--json"]);

        Assert.True(run.ExitCode == 0, run.Error);
        var text = await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken);
        Assert.Contains(".subckt tube_skua_014 p s g k", text, StringComparison.Ordinal);
        Assert.Contains(".subckt tube_skua_014_triode p g k", text, StringComparison.Ordinal);
        Assert.All(ids, id => Assert.Contains(id, text, StringComparison.Ordinal));
        Assert.Contains("Valid for drive -14 V to 24 V; plate rail 28 V", text.Replace("\n*", "", StringComparison.Ordinal).Replace("  ", " ", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.Contains("calibration nominal", text, StringComparison.Ordinal);
        Assert.Equal("tube_skua_014", (string?)JsonNode.Parse(run.Output)!["subcircuits"]![0]!["name"]);
    }

    [Fact]
    public async Task What_cannot_be_exported_is_said_and_nothing_is_written()
    {
        await RecordAsync();
        var file = _data.File("tube.lib");
        var several = await CliRun.OfAsync(_data.Path, ["export", First, Second, "--spice", file]);
        Assert.Equal(2, several.ExitCode);
        Assert.Contains("a fit is of one tube, and the first run is of SKUA-014, 6AU6. Choose runs of the same tube.", Assert.Single(several.ErrorLines), StringComparison.Ordinal);

        var name = await CliRun.OfAsync(_data.Path, ["export", First, "--spice", file, "--name", "6au6"]);
        Assert.Equal(2, name.ExitCode);
        Assert.Contains("\"6au6\"", Assert.Single(name.ErrorLines), StringComparison.Ordinal);

        // Fourteen samples of a straight line are no tube.
        var line = await CliRun.OfAsync(_data.Path, ["export", First, "--spice", file]);
        Assert.Equal(2, line.ExitCode);
        Assert.NotEmpty(line.ErrorLines);
        Assert.False(File.Exists(file));
    }

    private async Task RecordAsync()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancellation);
        foreach (var (id, label) in ((string, string)[])[(First, "SKUA-014"), (Second, "SKUA-015")])
        {
            var header = Examples.Header(id);
            await using var run = await store.BeginAsync(header with { Tube = header.Tube with { Label = label } }, cancellation);
            await run.AppendAsync([Examples.Block(0), Examples.Block(7, frame: 1)], cancellation);
            await run.EndAsync(RunState.Complete, Examples.Started.AddSeconds(4), cancellation);
        }
    }
}
