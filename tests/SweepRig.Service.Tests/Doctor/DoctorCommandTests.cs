using System.Text.Json.Nodes;
using SweepRig.Domain.Interlocks;
using SweepRig.Domain.Rigs;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Doctor;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Running;

namespace SweepRig.Service.Tests.Doctor;

/// <summary>On this computer as it is: its own directory, disk, clock and memory.</summary>
public sealed class DoctorCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Every_topic_is_told_and_nothing_is_left_behind()
    {
        var run = await CliRun.OfAsync(_data.Path, ["doctor", "--json"]);
        Assert.Empty(run.Error);
        var findings = JsonNode.Parse(run.Output)!["findings"]!.AsArray();
        foreach (var topic in new[] { "service", "data", "disk", "store", "clock", "memory", "rig" })
            Assert.Contains(findings, f => (string?)f!["topic"] == topic);
        Assert.Equal("good", (string?)findings.First(f => (string?)f!["topic"] == "data")!["verdict"]);
        Assert.Empty(Directory.EnumerateFileSystemEntries(_data.Path));
    }

    [Fact]
    public async Task Something_bad_is_exit_code_1_with_its_remedy()
    {
        await File.WriteAllTextAsync(_data.File("runs.db"), "this is no store, and long enough not to be taken for an empty one", TestContext.Current.CancellationToken);
        var run = await CliRun.OfAsync(_data.Path, ["doctor", "--port", _data.File("ttyNONE")]);
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("bad   store", run.Output, StringComparison.Ordinal);
        Assert.Contains("this is not a run store", run.Output, StringComparison.Ordinal);
        Assert.Contains("Move it away, or choose another data directory.", run.Output, StringComparison.Ordinal);
        Assert.Contains($"there is no {_data.File("ttyNONE")}", run.Output, StringComparison.Ordinal);
        Assert.EndsWith("2 things do not work.\n", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Beside_a_running_service_it_is_asked_and_not_disturbed()
    {
        await using var bench = await TestBench.StartAsync();
        var run = await CliRun.OfAsync(bench.Directory, ["doctor"]);
        Assert.Contains($"answers at {bench.Url.GetLeftPart(UriPartial.Authority)}, process {Environment.ProcessId}, version ", run.Output, StringComparison.Ordinal);
        Assert.Contains("opens and takes writes", run.Output, StringComparison.Ordinal);
        var live = await bench.GetAsync("/health/live");
        Assert.Equal("pass", (string?)live["status"]);
        Assert.Empty(bench.Runner.Asked);
    }

    [Fact]
    public async Task Of_a_service_with_several_rigs_each_is_told_by_its_name_with_what_to_do_for_it()
    {
        await using var bench = await TestBench.StartAsync(["left", "right", "spare"]);
        var connected = bench.Runner.State with { Link = RigLinkState.Connected, Identity = Examples.Rig, Calibration = RigCalibration.Nominal(Examples.Rig), LinkFault = null };
        bench.Runners[0].State = connected;
        bench.Runners[1].State = connected with { Trip = new(TripCause.GridCurrent, true, "9 mA", "8 mA", DateTimeOffset.UnixEpoch, null), TripCauseGone = true };
        bench.Runners[2].State = bench.Runners[2].State with { Link = RigLinkState.Lost, LinkFault = "There is no port /dev/ttyUSB7. Check the name and the cable." };
        var run = await CliRun.OfAsync(bench.Directory, ["doctor"]);
        Assert.Equal(1, run.ExitCode);
        foreach (var expected in new[]
        {
            "left: simulated SIM-0001", "right: simulated SIM-0001", "right: tripped: Too much grid current (9 mA; 8 mA)", "Then sweeprig acknowledge --rig right.", "sweeprig calibrate --rig left",
            "spare: There is no port /dev/ttyUSB7", "Check the name and the cable.",
        })
            Assert.Contains(expected, run.Output, StringComparison.Ordinal);
        Assert.EndsWith("One thing does not work.\n", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_note_of_a_killed_service_is_understood()
    {
        await File.WriteAllTextAsync(_data.File("service.json"), """{"url":"http://127.0.0.1:1","processId":4194305}""", TestContext.Current.CancellationToken);
        var run = await CliRun.OfAsync(_data.Path, ["doctor"]);
        Assert.Contains("did not end in order", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(60)]
    [InlineData(80)]
    [InlineData(110)]
    public void Lines_stay_within_the_terminal(int width)
    {
        Finding[] findings =
        [
            Finding.Good("service", "none runs on /home/wren/.local/share/sweeprig; sweeprig 0.1.0"),
            Finding.Look("calibration", "rig SIM-0001 works on nominal values", "Compare it with a meter: sweeprig calibrate. Until then every figure says so."),
        ];
        var lines = DoctorText.Lines(findings, new Ink(false), width).ToArray();
        Assert.All(lines, l => Assert.True(l.Length <= width, l));
        Assert.Equal("good  service      none runs on", lines[0][..31]);
        Assert.Equal("All works; one thing is to be looked at.", lines[^1]);
    }
}
