using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Nights from the command line, on a simulated bench of their own.</summary>
[Collection(RealTime.Name)]
public sealed class NightCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_night_is_checked_planned_and_done()
    {
        var now = TimeProvider.System.GetUtcNow();
        var file = await FileAsync($$"""
            { "format": "night/1", "name": "Skua", "timeZone": "Etc/UTC", "window": { "from": "{{now.AddHours(-2):HH:mm}}", "to": "{{now.AddHours(20):HH:mm}}" },
              "sockets": [{ "socket": 0, "tube": "SKUA-014", "type": "6AU6" }], "jobs": [{ "name": "gentle", "do": "sweep", "plan": "gentle-pentode" }] }
            """);
        var check = await RunAsync("night", "check", file, "--heater-speed", "1000");
        Assert.True(check.ExitCode == 0, check.Error);
        Assert.Contains("Skua: 1 step, from", check.Output, StringComparison.Ordinal);
        Assert.Contains("300 mA (1.89 W) for all sockets", check.Output, StringComparison.Ordinal);
        var plan = await RunAsync("night", "plan", file, "--heater-speed", "1000");
        Assert.Contains("#", plan.Output.Split('\n').Single(l => l.Contains("gentle", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.All(plan.Output.Split('\n'), l => Assert.True(l.Length <= 160, l));
        Assert.Equal("gentle", (string?)JsonNode.Parse((await RunAsync("night", "plan", file, "--heater-speed", "1000", "--json")).Output)!["steps"]![0]!["job"]);

        var done = await RunAsync("night", "start", file, "--heater-speed", "1000", "--json");
        Assert.True(done.ExitCode == 0, done.Error);
        var night = JsonNode.Parse(done.Output)!;
        Assert.Equal(("over", 1), ((string?)night["state"], (int)night["jobs"]![0]!["passed"]!));
        Assert.Contains("passed       gentle on SKUA-014: conducts", done.Error, StringComparison.Ordinal);
        Assert.Contains("SKUA-014", (await RunAsync("runs", "list")).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Faults_are_told_with_their_place_in_the_document()
    {
        var file = await FileAsync("""
            { "format": "night/1", "name": "Skua", "timeZone": "Europe/Atlantis", "window": { "from": "21:00", "to": "06:00" },
              "sockets": [{ "socket": 0, "tube": "SKUA-014", "type": "6AU6" }], "jobs": [{ "name": "gentle", "do": "swep", "plan": "gentle-pentode" }] }
            """);
        var check = await RunAsync("night", "check", file);
        Assert.Equal(2, check.ExitCode);
        Assert.Equal(2, check.ErrorLines.Length);
        Assert.Contains($"{file} /jobs/0/do: do is \"swep\"", check.Error, StringComparison.Ordinal);
        Assert.Contains("Did you mean \"sweep\"?", check.Error, StringComparison.Ordinal);
        var missing = await RunAsync("night", "plan", "nothing.json");
        Assert.Equal(2, missing.ExitCode);
        Assert.Contains("there is no such file", missing.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Without_a_service_what_speaks_to_one_says_so()
    {
        foreach (var act in new[] { "show", "hold", "go-on", "end" })
        {
            var told = await RunAsync("night", act);
            Assert.Equal(1, told.ExitCode);
            Assert.Contains("sweeprig serve", told.Error, StringComparison.Ordinal);
        }
    }

    private async Task<string> FileAsync(string document)
    {
        var file = Path.Combine(_data.Path, "night.json");
        await File.WriteAllTextAsync(file, document, TestContext.Current.CancellationToken);
        return file;
    }

    private Task<CliRun> RunAsync(params string[] arguments) => CliRun.OfAsync(_data.Path, arguments);
}
