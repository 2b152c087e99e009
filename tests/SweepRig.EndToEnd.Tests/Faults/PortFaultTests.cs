using System.Text.Json.Nodes;
using SweepRig.EndToEnd.Tests.Harness;
using SweepRig.Rigs.Simulated;
using SweepRig.Wire.Line;

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
        AssertOneLine(error, $"There is no port {path}.", "Check the name and the cable.");
    }

    [Fact]
    public async Task A_file_that_is_no_terminal_is_named()
    {
        var path = Path.Combine(_directory, "notes.txt");
        await File.WriteAllTextAsync(path, "not a port", TestContext.Current.CancellationToken);
        var (exit, error) = await ServeAsync(path);
        Assert.Equal(2, exit);
        AssertOneLine(error, $"{path} is not a serial port", "Give the path of a serial port.");
        Assert.Equal("not a port", await File.ReadAllTextAsync(path, TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task A_port_held_by_another_service_is_busy()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        var (exit, error) = await ServeAsync(bench.PtyPath);
        Assert.Equal(2, exit);
        AssertOneLine(error, $"The port {bench.PtyPath} is in use by another program (", $"sweeprig, process {bench.Service.Id}", "Close it there");
        Assert.Equal("connected", (string?)(await bench.BenchAsync())["link"]);
    }

    [Fact]
    public async Task A_second_service_on_the_same_data_names_the_first()
    {
        await using var bench = await PtyBench.StartWithRigHereAsync();
        var runId = await bench.StartRunAsync(TestPlans.Short);
        var (exit, _, error) = await SweepRigProcess.RunAsync(TimeSpan.FromSeconds(30), "serve", "--data", bench.DataDirectory, "--url", "http://127.0.0.1:0");
        Assert.Equal(1, exit);
        AssertOneLine(error, $"{bench.DataDirectory} is in use by process {bench.Service.Id}", "one sweeprig at a time", "choose another directory with --data.");
        // The first one is not disturbed: its run is neither marked as interrupted nor lost.
        var run = await bench.UntilRunAsync(runId, r => (string?)r["state"] != "running");
        Assert.Equal(("complete", 141), ((string?)run["state"], (int)run["samples"]!));
    }

    [Theory]
    [InlineData("silence", "Nothing answers on ", "0 bytes within 2.5 s; check that the rig is powered, the port and the baud rate.")]
    [InlineData("garbage", "does not speak the rig link: ", "no valid frame; check the port and the baud rate.")]
    [InlineData("version", "speaks version 5", "speaks version 1", "Update the older of the two.")]
    public async Task A_peer_that_does_not_speak_the_link_is_said_to(string kind, params string[] expected)
    {
        var options = kind switch
        {
            "version" => new SimulatedRigOptions { ProtocolVersion = 5 },
            "garbage" => new SimulatedRigOptions(),
            _ => new SimulatedRigOptions { Faults = [new SimulatedFault.Mute()] },
        };
        var pty = Path.Combine(_directory, "rig");
        await using var rig = new InProcessRig(pty, options, kind == "garbage" ? new LineRates { Burst = 1 } : null);
        var data = Path.Combine(_directory, "data");
        await using var service = SweepRigProcess.Start("serve", "--port", pty, "--data", data, "--url", "http://127.0.0.1:0");
        var note = Path.Combine(data, "service.json");
        await Waiting.UntilAsync("service.json", TimeSpan.FromSeconds(30), () => Task.FromResult(File.Exists(note)));
        using var http = new HttpClient();
        var fault = await Waiting.ForAsync("the link's fault", TimeSpan.FromSeconds(30), async () =>
        {
            var url = (string?)JsonNode.Parse(await File.ReadAllTextAsync(note))!["url"];
            var bench = JsonNode.Parse(await http.GetStringAsync(url + "/api/bench"))!;
            return (string?)bench["linkFault"];
        });
        Assert.All(expected, part => Assert.Contains(part, fault, StringComparison.Ordinal));
        Assert.DoesNotContain('\n', fault);
        // Nothing was driven or switched for it, and nothing is swept on it.
        Assert.True(rig.Rig.Journal.IsSafe);
        Assert.False(rig.Rig.Journal.HeaterOn);
        using var refused = await http.PostAsync(
            JsonNode.Parse(await File.ReadAllTextAsync(note, TestContext.Current.CancellationToken))!["url"] + "/api/runs",
            new StringContent($$$"""{"plan":{{{TestPlans.Short.ToJsonString()}}},"tube":{"label":"SKUA-014","type":"6AU6"}}""", System.Text.Encoding.UTF8, "application/json"),
            TestContext.Current.CancellationToken);
        Assert.Equal(System.Net.HttpStatusCode.Conflict, refused.StatusCode);
        Assert.Contains("is not connected", await refused.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    private async Task<(int Exit, string Error)> ServeAsync(string port)
    {
        var (exit, _, error) = await SweepRigProcess.RunAsync(
            TimeSpan.FromSeconds(30), "serve", "--port", port, "--data", Path.Combine(_directory, "data"), "--url", "http://127.0.0.1:0");
        return (exit, error);
    }

    private static void AssertOneLine(string error, params string[] parts)
    {
        Assert.All(parts, part => Assert.Contains(part, error, StringComparison.Ordinal));
        Assert.Single(error.Split('\n', StringSplitOptions.RemoveEmptyEntries));
    }
}
