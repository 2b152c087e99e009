using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>The simulated rig on a pseudo-terminal, swept through that port by another command.</summary>
[Collection(RealTime.Name)]
public sealed class SimulateCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Its_own_record_tells_what_a_sweep_did()
    {
        var (pty, journal) = (_data.File("rig"), _data.File("rig.jsonl"));
        using var interrupt = new CancellationTokenSource();
        var simulating = CliRun.OfAsync(_data.Path, ["simulate", "--pty", pty, "--heater-speed", "1000", "--tube", "6BH6", "--journal", journal, "--json"], "", interrupt.Token);
        await Eventually.HoldsAsync("the pseudo-terminal", () => File.Exists(pty) || simulating.IsCompleted);

        var sweep = await CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", "--tube", "SKUA-015", "--type", "6BH6", "--port", pty, "--heater-speed", "1000", "--json"]);
        await interrupt.CancelAsync();
        var run = await simulating;

        Assert.Equal((0, ""), (sweep.ExitCode, sweep.Error));
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        var summary = JsonNode.Parse(run.Output)!;
        Assert.True((bool)summary["endedSafe"]!);
        Assert.InRange((double)summary["highestDriveVolts"]!, -0.05, 0.001);
        Assert.Equal(1, (int)summary["programs"]!);
        Assert.Empty(summary["trips"]!.AsArray());
        Assert.Equal(0, (long)summary["missedEntries"]!);
        var lines = await File.ReadAllLinesAsync(journal, TestContext.Current.CancellationToken);
        Assert.Equal((long)summary["entries"]!, lines.Length);
        Assert.True(lines.Count(l => (string?)JsonNode.Parse(l)!["kind"] == "drive-written") >= 141);
        Assert.False(File.Exists(pty));
    }

    [Fact]
    public async Task A_path_that_holds_something_else_is_left_alone()
    {
        var file = _data.File("notes.txt");
        await File.WriteAllTextAsync(file, "mine", TestContext.Current.CancellationToken);
        var run = await CliRun.OfAsync(_data.Path, ["simulate", "--pty", file]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(file, Assert.Single(run.ErrorLines), StringComparison.Ordinal);
        Assert.Equal("mine", await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken));
    }
}
