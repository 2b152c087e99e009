using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>The screening from the shell, on the simulated rig.</summary>
[Collection(RealTime.Name)]
public sealed class ScreenCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_shorted_tube_is_called_bad_before_it_is_heated_and_its_steps_are_kept()
    {
        var run = await CliRun.OfAsync(_data.Path, ["screen", "--tube", "SKUA-031", "--type", "6AU6", "--defect", "short-g1-k", "--json"]);
        Assert.Equal(0, run.ExitCode);
        var report = JsonNode.Parse(run.Output)!;
        Assert.Equal("bad", (string?)report["verdict"]);
        Assert.Contains("leakage grid 1 to cathode", (string?)report["reasons"]![0], StringComparison.Ordinal);
        Assert.Equal("not-seen", (string?)report["items"]!.AsArray().Single(i => (string?)i!["name"] == "heater-current")!["verdict"]);
        Assert.Contains("ended early: grid 1 is shorted to another electrode", run.Error, StringComparison.Ordinal);
        Assert.Contains("hot glass burns", run.Error, StringComparison.Ordinal);

        var runs = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["runs", "list", "--json"])).Output)!["runs"]!.AsArray();
        Assert.Equal("Screening: grid path, cold, rail off", (string?)Assert.Single(runs)!["planName"]);
        // Nothing of the report is stored: it is made anew from the run.
        var again = await CliRun.OfAsync(_data.Path, ["runs", "health", "latest", "--json"]);
        Assert.Equal((0, run.Output), (again.ExitCode, again.Output));

        // What the screening found can be graded and followed by; what it did not come to is missing with its reason.
        await CliRun.OfAsync(_data.Path, ["stock", "book", "Skua", "--count", "31"]);
        var summary = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["stock", "summary", "Skua", "--of", "health.insulation-grid-cathode,health.noise", "--json"])).Output)!["quantities"]!;
        Assert.Equal((1, 0), ((int)summary[0]!["measured"]!, (int)summary[1]!["measured"]!));
        Assert.True((double)summary[0]!["spread"]!["median"]! > 20e-6);
        Assert.Single(JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["drift", "SKUA-031", "--of", "health.insulation-grid-cathode", "--json"])).Output)!["points"]!.AsArray());
        Assert.Contains("it was measured once without a value", (await CliRun.OfAsync(_data.Path, ["drift", "SKUA-031", "--of", "health.noise"])).Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_tube_of_the_stock_is_screened_as_what_it_is_and_its_history_says_so()
    {
        await CliRun.OfAsync(_data.Path, ["stock", "book", "Skua", "--type", "6AU6", "--count", "1"]);
        var run = await CliRun.OfAsync(_data.Path, ["screen", "--tube", " skua-001 ", "--defect", "short-g1-k"]);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("SKUA-001 (6AU6): bad", run.Output, StringComparison.Ordinal);
        Assert.Contains("kept in the history of SKUA-001: screened, bad", run.Error, StringComparison.Ordinal);
        var tube = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["stock", "show", "SKUA-001", "--json"])).Output)!;
        Assert.Equal("screened", (string?)tube["state"]);
        Assert.StartsWith("bad; ", (string?)tube["history"]!.AsArray()[^1]!["text"], StringComparison.Ordinal);
        Assert.Contains("screening", (await CliRun.OfAsync(_data.Path, ["stock", "show", "SKUA-001"])).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_health_of_a_sweep_is_refused_with_the_way_to_get_it()
    {
        var sweep = await CliRun.OfAsync(_data.Path, ["sweep", "gentle-pentode", "--tube", "SKUA-014", "--type", "6AU6", "--heater-speed", "1000", "--json"]);
        Assert.Equal((0, ""), (sweep.ExitCode, sweep.Error));
        var run = await CliRun.OfAsync(_data.Path, ["runs", "health", "latest"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("this run is a sweep, and no step of a screening. Screen the tube: sweeprig screen --tube SKUA-014 --type 6AU6.", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
        Assert.Equal(2, (await CliRun.OfAsync(_data.Path, ["runs", "health", "ffff"])).ExitCode);
    }

    [Fact]
    public async Task An_open_heater_is_told_in_words()
    {
        var run = await CliRun.OfAsync(_data.Path, ["screen", "--tube", "SKUA-017", "--type", "6AU6", "--defect", "open-heater", "--heater-speed", "1000", "--no-taps"]);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("SKUA-017 (6AU6): bad", run.Output, StringComparison.Ordinal);
        Assert.Contains("heater open, a pin without contact, or a dead cathode", run.Output, StringComparison.Ordinal);
        Assert.Contains("left out: microphony", run.Error, StringComparison.Ordinal);
        Assert.Contains("heater to cathode: the cathode is at 0 V", run.Output, StringComparison.Ordinal);
    }
}
