using System.Text.Json.Nodes;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary><c>runs show</c> and <c>runs export</c> take the calibration by the words of REST.</summary>
public sealed class RunsByCalibrationTests : IDisposable
{
    private const string Run = "019d2f3a5b6c7d8e8f90a1b2c3d4e5f6";

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_run_shown_with_another_calibration_says_with_which_it_was_measured()
    {
        await RecordAsync();
        var asMeasured = await CliRun.OfAsync(_data.Path, ["runs", "show", Run]);
        Assert.DoesNotContain("shown with", asMeasured.Output, StringComparison.Ordinal);
        var shown = await CliRun.OfAsync(_data.Path, ["runs", "show", Run, "--calibration", "newest"]);
        Assert.Contains("calibration  nominal values, this rig was not calibrated", shown.Output, StringComparison.Ordinal);
        Assert.Contains("shown with   cal-1, made 2026-03-16 with hand-held meter, valid until 2026-09-12; 2 days after the run", shown.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("not calibrated.", shown.Output, StringComparison.Ordinal);
        var json = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["runs", "show", Run, "--calibration", "cal-1", "--json"])).Output)!;
        Assert.Equal(("nominal", "cal-1"), ((string?)json["run"]!["calibration"]!["state"], (string?)json["levels"]!["calibration"]!["id"]));
    }

    [Fact]
    public async Task An_export_names_the_calibration_in_every_row()
    {
        await RecordAsync();
        var export = await CliRun.OfAsync(_data.Path, ["runs", "export", Run, "--calibration", "cal-1"]);
        var lines = export.Output.Split("\r\n", StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(1 + 141, lines.Length);
        Assert.All(lines[1..], line => Assert.Contains(",cal-1,calibrated,", line, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("show", "cal-9", "calibration \"cal-9\"; there is none of that id")]
    [InlineData("export", "cal-9", "calibration \"cal-9\"; there is none of that id")]
    [InlineData("export", "cal-7", "RIG-0042")]
    public async Task One_that_cannot_be_applied_is_bad_input(string command, string asked, string expected)
    {
        await RecordAsync();
        var run = await CliRun.OfAsync(_data.Path, ["runs", command, Run, "--calibration", asked]);
        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Contains(expected, Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    private async Task RecordAsync()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await using var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancellation);
        await using var recording = await store.BeginAsync(Examples.Header(Run), cancellation);
        await recording.AppendAsync([Examples.Block(0), Examples.Block(7, frame: 1)], cancellation);
        await recording.EndAsync(RunState.Complete, Examples.Started.AddSeconds(4), cancellation);
        var calibrations = new CalibrationStore(store, TimeProvider.System);
        await calibrations.AddAsync(Examples.Calibration("cal-1", "SIM-0001", gain: 1.01, madeDaysAfter: 2), cancellation);
        await calibrations.AddAsync(Examples.Calibration("cal-7", "RIG-0042", gain: 1), cancellation);
    }
}
