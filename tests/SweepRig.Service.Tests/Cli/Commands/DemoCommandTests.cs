using System.Net;
using System.Net.Sockets;
using System.Text.Json.Nodes;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Hosting;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

[Collection(RealTime.Name)]
public sealed class DemoCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Once_in_json_both_runs_have_levels_and_files()
    {
        var run = await CliRun.OfAsync(_data.Path, ["demo", "--once", "--json", "--data", _data.File("demo")]);

        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        var result = JsonNode.Parse(run.Output)!;
        Assert.Equal(_data.File("demo"), (string?)result["dataDirectory"]);
        Assert.True(File.Exists((string?)result["database"]));
        Assert.True((double)result["firstSampleSeconds"]! > 0);
        var runs = result["runs"]!.AsArray();
        Assert.Equal(["pentode", "triode"], runs.Select(r => (string?)r!["connection"]));
        Assert.All(runs, r => Assert.Equal(382, (int)r!["samples"]!));
        Assert.All(runs, r => Assert.True(File.Exists((string?)r!["csv"])));
        // Common practice, no source: the output of a small pentode rises again under far positive drive, and in triode connection it does not.
        Assert.All(Curves(runs[0]!), c => Assert.InRange((double)c["foldBackDepth"]!["value"]!, 0.05, 2));
        Assert.All(Curves(runs[1]!), c => Assert.Null(c["foldBackDepth"]!["value"]));
        Assert.All(runs, r => Assert.StartsWith("demonstration: ", (string?)r!["run"]!["permit"]!["reason"], StringComparison.Ordinal));
        var counter = result["counter"]!;
        Assert.Equal(2, counter["tubes"]!.AsArray().Select(t => (string?)t!["number"]).Distinct().Count());
        Assert.InRange((double)counter["marginVolts"]!, 1, (double)counter["boundVolts"]!);
        Assert.True((double)counter["shortestPeriodSeconds"]! > 0 && (double)counter["smallestFallVolts"]! > 0);
        Assert.Empty(Directory.GetFiles(_data.Path));
    }

    [Fact]
    public async Task It_goes_on_serving_until_it_is_ended()
    {
        using var interrupt = new CancellationTokenSource();
        using var output = new StringWriter();
        var demo = CliRun.OfAsync(_data.Path, ["demo", "--json", "--data", _data.Path, "--url", "http://127.0.0.1:0"], "", interrupt.Token, output);
        await Eventually.HoldsAsync("both exports", () => Directory.Exists(_data.File("exports")) && Directory.GetFiles(_data.File("exports"), "*.csv").Length == 2);
        var note = JsonNode.Parse(await File.ReadAllTextAsync(_data.File(ServiceNote.FileName), TestContext.Current.CancellationToken))!;
        using var http = new HttpClient();
        var state = JsonNode.Parse(await http.GetStringAsync($"{note["url"]}/api/bench", TestContext.Current.CancellationToken))!;
        Assert.Equal("connected", (string?)state["link"]);
        await Eventually.HoldsAsync("the counter stage", () => demo.IsCompleted || output.GetStringBuilder().Length > 0, TimeSpan.FromMinutes(3));

        await interrupt.CancelAsync();
        var run = await demo;

        Assert.Equal((string?)note["url"], (string?)JsonNode.Parse(run.Output)!["url"]);
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        Assert.False(File.Exists(_data.File(ServiceNote.FileName)));
    }

    [Fact]
    public void A_usual_port_that_is_taken_does_not_stop_it()
    {
        using var other = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
        try
        {
            other.Bind(new IPEndPoint(IPAddress.Loopback, new Uri(BenchOptions.DefaultUrl).Port));
            other.Listen();
        }
        catch (SocketException)
        {
            // Another program has it already, which serves as well.
            other.Close();
        }
        Assert.Equal("http://127.0.0.1:0", FreePort.UsualUrlOrAnyFree());
    }

    private static IEnumerable<JsonNode> Curves(JsonNode run) => run["levels"]!["curves"]!.AsArray().Select(c => c!);
}
