using System.Net;
using System.Net.Sockets;
using System.Text.Json.Nodes;
using SweepRig.Domain;
using SweepRig.Service.Hosting;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Commands that speak to a running service, through its real REST on a loopback port.</summary>
public sealed class BenchCommandsTests
{
    [Theory]
    [InlineData("safe", "safe: asked for on the command line")]
    [InlineData("safe --reason smoke", "safe: smoke")]
    [InlineData("acknowledge", "acknowledge")]
    [InlineData("permit --end", "end permit")]
    [InlineData("permit --ceiling 24 --minutes 2.5 --reason fold-back", "permit 24 150 fold-back")]
    public async Task A_command_reaches_the_one_door(string commandLine, string asked)
    {
        await using var bench = await TestBench.StartAsync();

        var run = await CliRun.OfAsync(bench.Directory, commandLine.Split(' '));

        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        Assert.Single(run.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries));
        Assert.Equal(asked, Assert.Single(bench.Runner.Asked));
    }

    [Theory]
    [InlineData("safe", "link")]
    [InlineData("acknowledge", "link")]
    [InlineData("permit --ceiling 24 --minutes 5 --reason fold-back", "endsUtc")]
    public async Task The_answer_in_json_is_that_of_the_rest(string commandLine, string key)
    {
        await using var bench = await TestBench.StartAsync();
        var run = await CliRun.OfAsync(bench.Directory, [.. commandLine.Split(' '), "--json"]);
        Assert.True(JsonNode.Parse(run.Output)!.AsObject().ContainsKey(key), run.Output);
    }

    [Fact]
    public async Task A_refusal_is_told_and_exits_with_3()
    {
        await using var bench = await TestBench.StartAsync();
        bench.Runner.Refusal = new Refusal("permit-ceiling", "/ceilingVolts", "a permit up to 40 V was asked for", "above 0 V, up to this rig's ceiling of 26 V, is allowed", "Ask for 26 V or less.");

        var run = await CliRun.OfAsync(bench.Directory, ["permit", "--ceiling", "40", "--minutes", "5", "--reason", "too far", "--json"]);

        Assert.Equal(3, run.ExitCode);
        Assert.Equal("sweeprig: A permit up to 40 V was asked for; above 0 V, up to this rig's ceiling of 26 V, is allowed. Ask for 26 V or less.", Assert.Single(run.ErrorLines));
        Assert.Equal("permit-ceiling", (string?)JsonNode.Parse(run.Output)!["refusals"]![0]!["code"]);
    }

    [Theory]
    [InlineData("safe")]
    [InlineData("acknowledge")]
    [InlineData("permit --end")]
    public async Task Without_a_service_one_line_says_how_to_start_one(string commandLine)
    {
        using var data = new TemporaryData();
        var run = await CliRun.OfAsync(data.Path, commandLine.Split(' '));
        Assert.Equal(1, run.ExitCode);
        Assert.Equal($"sweeprig: No service is running on {data.Path}. Start one with sweeprig serve, or name another with --data or --url.", Assert.Single(run.ErrorLines));
    }

    [Fact]
    public async Task The_note_of_a_killed_service_is_not_believed()
    {
        using var data = new TemporaryData();
        await File.WriteAllTextAsync(data.File(ServiceNote.FileName), """{"url":"http://127.0.0.1:1","processId":2147483646}""", TestContext.Current.CancellationToken);
        var run = await CliRun.OfAsync(data.Path, ["safe"]);
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("No service is running on", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_address_where_nobody_answers_is_named()
    {
        using var data = new TemporaryData();
        using var taken = new TcpListener(IPAddress.Loopback, 0);
        taken.Start();
        var port = ((IPEndPoint)taken.LocalEndpoint).Port;
        taken.Stop();
        var run = await CliRun.OfAsync(data.Path, ["safe", "--url", $"http://127.0.0.1:{port}"]);
        Assert.Equal(1, run.ExitCode);
        Assert.Contains($"No service answers at http://127.0.0.1:{port}", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("ftp://127.0.0.1")]
    [InlineData("nonsense")]
    public async Task An_address_that_is_none_is_bad_input(string url)
    {
        using var data = new TemporaryData();
        var run = await CliRun.OfAsync(data.Path, ["safe", "--url", url]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains($"--url {url}: allowed is an address such as", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_service_can_be_served_in_the_same_directory_once_only()
    {
        await using var bench = await TestBench.StartAsync();
        var run = await CliRun.OfAsync(bench.Directory, ["serve", "--url", "http://127.0.0.1:0"]);
        Assert.Equal(1, run.ExitCode);
        Assert.Contains($"process {Environment.ProcessId}", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_page_for_other_machines_is_refused()
    {
        using var data = new TemporaryData();
        var run = await CliRun.OfAsync(data.Path, ["serve", "--url", "http://0.0.0.0:5240"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("the bench is served on this machine only", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }
}
