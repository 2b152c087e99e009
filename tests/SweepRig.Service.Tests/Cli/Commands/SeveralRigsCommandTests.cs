using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Commands at a service that drives several rigs.</summary>
public sealed class SeveralRigsCommandTests
{
    [Theory]
    [InlineData("safe --rig right --reason smoke", "safe: smoke")]
    [InlineData("acknowledge --rig right", "acknowledge")]
    [InlineData("permit --rig right --ceiling 24 --minutes 2.5 --reason fold-back", "permit 24 150 fold-back")]
    [InlineData("permit --rig right --end", "end permit")]
    public async Task A_command_reaches_the_rig_that_it_names(string commandLine, string asked)
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        var run = await CliRun.OfAsync(bench.Directory, commandLine.Split(' '));
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        Assert.Empty(bench.Runners[0].Asked);
        Assert.Equal(asked, Assert.Single(bench.Runners[1].Asked));
    }

    [Theory]
    [InlineData("acknowledge")]
    [InlineData("permit --end")]
    [InlineData("sweep gentle-pentode --tube SKUA-014 --type 6AU6")]
    [InlineData("round --lot Skua")]
    [InlineData("calibrate --practice-meter")]
    [InlineData("calibrate redo plate")]
    public async Task Without_a_name_it_asks_which_rig_is_meant(string commandLine)
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        var run = await CliRun.OfAsync(bench.Directory, commandLine.Split(' '));
        Assert.Equal(2, run.ExitCode);
        var line = Assert.Single(run.ErrorLines);
        Assert.Contains("2 rigs: left, right", line, StringComparison.Ordinal);
        Assert.Contains("--rig NAME", line, StringComparison.Ordinal);
        Assert.All(bench.Runners, r => Assert.Empty(r.Asked));
    }

    [Theory]
    [InlineData("screen --tube SKUA-014 --type 6AU6", "A screening by itself was asked for", "night plan drift-overnight")]
    [InlineData("explore --tube SKUA-014 --type 6AU6 --ceiling 12 --reason drive", "An exploration by itself was asked for", "night plan how-far-positive")]
    public async Task What_needs_a_rig_for_itself_says_who_has_them_and_how_the_service_does_it(string commandLine, string asked, string remedy)
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        var run = await CliRun.OfAsync(bench.Directory, [.. commandLine.Split(' '), "--json"]);
        Assert.Equal(1, run.ExitCode);
        var line = Assert.Single(run.ErrorLines);
        Assert.StartsWith("sweeprig: " + asked, line, StringComparison.Ordinal);
        Assert.Contains("has all 2 rigs (left, right)", line, StringComparison.Ordinal);
        Assert.Contains(remedy, line, StringComparison.Ordinal);
        Assert.Equal("rig-in-use", (string?)JsonNode.Parse(run.Output)!["refusals"]![0]!["code"]);
        Assert.All(bench.Runners, r => Assert.Empty(r.Asked));
    }

    [Theory]
    [InlineData("safe")]
    [InlineData("permit --end")]
    [InlineData("sweep gentle-pentode --tube SKUA-014 --type 6AU6")]
    public async Task A_name_that_is_not_there_is_refused_with_those_that_are(string commandLine)
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        var run = await CliRun.OfAsync(bench.Directory, [.. commandLine.Split(' '), "--rig", "middle"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("--rig middle: the service at", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
        Assert.All(bench.Runners, r => Assert.Empty(r.Asked));
    }

    [Fact]
    public async Task Safe_without_a_name_makes_all_of_them_safe_and_says_so()
    {
        await using var bench = await TestBench.StartAsync(["left", "right"]);
        var run = await CliRun.OfAsync(bench.Directory, ["safe", "--reason", "fire"]);
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        Assert.StartsWith("All 2 rigs safe (left, right)", run.Output, StringComparison.Ordinal);
        Assert.All(bench.Runners, r => Assert.Equal("safe: fire", Assert.Single(r.Asked)));
        var json = await CliRun.OfAsync(bench.Directory, ["safe", "--json"]);
        Assert.Equal(2, JsonNode.Parse(json.Output)!["rigs"]!.AsArray().Count);
    }

    [Fact]
    public async Task A_rig_is_named_in_vain_where_no_service_runs()
    {
        using var data = new TemporaryData();
        var run = await CliRun.OfAsync(data.Path, ["sweep", "gentle-pentode", "--tube", "SKUA-014", "--type", "6AU6", "--rig", "left"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("no service is running", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--rig left=/dev/ttyUSB7 --rig right=/dev/ttyUSB7", "Rig right on /dev/ttyUSB7; rig left has that port.")]
    [InlineData("--rig left=simulated --rig left=simulated", "Two rigs named left;")]
    [InlineData("--rig Left=simulated", "The rig name \"Left\"; 1 to 32 of a to z, 0 to 9 and -.")]
    [InlineData("--rig left=simulatd", "allowed is NAME=PORT")]
    [InlineData("--rig left=bus:nowhere.json", "nowhere.json: the configuration cannot be read; there is no such file.")]
    [InlineData("--rig left=simulated --port /dev/ttyUSB0", "--rig and --port exclude each other")]
    [InlineData("--rig left=simulated --rigs rigs.json", "--rig stands with --rigs")]
    [InlineData("--rigs nowhere.json", "The list of rigs cannot be read; there is no such file.")]
    public async Task Rigs_that_cannot_be_are_refused_before_anything_starts(string options, string fault)
    {
        using var data = new TemporaryData();
        var run = await CliRun.OfAsync(data.Path, ["serve", .. options.Split(' ')]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(fault, run.Error, StringComparison.OrdinalIgnoreCase);
        Assert.Equal("", run.Output);
    }
}
