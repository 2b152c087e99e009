using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Rigs.Simulated;

namespace SweepRig.EndToEnd.Tests.Faults;

/// <summary>Ports that are not what they should be: one clear line each.</summary>
public sealed class PortFaultTests : IDisposable
{
    private readonly string _directory = Directory.CreateTempSubdirectory("sweeprig-").FullName;

    public void Dispose() => Directory.Delete(_directory, recursive: true);

    [Fact]
    public async Task A_port_that_does_not_exist_is_named()
    {
        var path = Path.Combine(_directory, "ttyNONE");
        var (exit, error) = await ServeAsync(path);
        Assert.Equal(2, exit);
        AssertOneLine(error, path);
    }

    [Fact]
    public async Task A_file_that_is_no_terminal_is_named()
    {
        var path = Path.Combine(_directory, "notes.txt");
        await File.WriteAllTextAsync(path, "not a port", TestContext.Current.CancellationToken);
        var (exit, error) = await ServeAsync(path);
        Assert.Equal(2, exit);
        AssertOneLine(error, path);
    }

    [Fact]
    public async Task A_port_held_by_another_service_is_busy()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        var (exit, error) = await ServeAsync(bench.PtyPath);
        Assert.Equal(2, exit);
        AssertOneLine(error, bench.PtyPath);
        Assert.Equal("connected", (string?)(await bench.BenchAsync())["link"]);
    }

    [Fact]
    public async Task A_second_service_on_the_same_data_names_the_first()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        var (exit, _, error) = await SweepRigProcess.RunAsync(TimeSpan.FromSeconds(30), "serve", "--data", bench.DataDirectory, "--url", "http://127.0.0.1:0");
        Assert.Equal(1, exit);
        AssertOneLine(error, $"{bench.Service.Id}");
    }

    [Theory]
    [InlineData("silence", "Nothing answers")]
    [InlineData("garbage", "link")]
    [InlineData("version", "version")]
    public async Task A_peer_that_does_not_speak_the_link_is_said_to(string kind, string expected)
    {
        var options = kind switch
        {
            "version" => new SimulatedRigOptions { ProtocolVersion = 5 },
            "garbage" => new SimulatedRigOptions { Faults = [new SimulatedFault.Garbage(40), new SimulatedFault.DamageEvery(1)] },
            _ => new SimulatedRigOptions { Faults = [new SimulatedFault.Mute()] },
        };
        var pty = Path.Combine(_directory, "rig");
        await using var rig = new InProcessRig(pty, options);
        var data = Path.Combine(_directory, "data");
        await using var service = SweepRigProcess.Start("serve", "--port", pty, "--data", data, "--url", "http://127.0.0.1:0");
        var note = Path.Combine(data, "service.json");
        await Waiting.UntilAsync("service.json", TimeSpan.FromSeconds(30), () => Task.FromResult(File.Exists(note)));
        using var http = new HttpClient();
        var fault = await Waiting.ForAsync("the link's fault", TimeSpan.FromSeconds(30), async () =>
        {
            var url = (string?)System.Text.Json.Nodes.JsonNode.Parse(await File.ReadAllTextAsync(note))!["url"];
            var bench = System.Text.Json.Nodes.JsonNode.Parse(await http.GetStringAsync(url + "/api/bench"))!;
            return (string?)bench["linkFault"];
        });
        Assert.Contains(expected, fault, StringComparison.OrdinalIgnoreCase);
        Assert.True(rig.Rig.Journal.IsSafe);
    }

    private async Task<(int Exit, string Error)> ServeAsync(string port)
    {
        var (exit, _, error) = await SweepRigProcess.RunAsync(
            TimeSpan.FromSeconds(30), "serve", "--port", port, "--data", Path.Combine(_directory, "data"), "--url", "http://127.0.0.1:0");
        return (exit, error);
    }

    private static void AssertOneLine(string error, string names)
    {
        Assert.Contains(names, error, StringComparison.Ordinal);
        Assert.Single(error.Split('\n', StringSplitOptions.RemoveEmptyEntries));
    }
}
