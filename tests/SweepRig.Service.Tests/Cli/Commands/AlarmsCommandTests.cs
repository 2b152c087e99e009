using System.Text.Json.Nodes;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Watching.Alarms;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class AlarmsCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task Without_a_file_it_says_so_and_how_to_begin()
    {
        var run = await CliRun.OfAsync(_data.Path, ["alarms", "check"]);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("Begin with sweeprig alarms example.", run.Output, StringComparison.Ordinal);
        Assert.Contains("of a machine that is dead nobody would learn", run.Output, StringComparison.Ordinal);
        Assert.Equal(2, (await CliRun.OfAsync(_data.Path, ["alarms", "try"])).ExitCode);
        Assert.Equal("No alarm was sent yet.\n", (await CliRun.OfAsync(_data.Path, ["alarms", "list"])).Output);
    }

    [Fact]
    public async Task The_example_is_understood_and_what_is_not_there_yet_is_named()
    {
        await WriteAsync((await CliRun.OfAsync(_data.Path, ["alarms", "example"])).Output);
        var run = await CliRun.OfAsync(_data.Path, ["alarms", "check"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("To keepers: rig-gone, job-given-up, drift that is warning or worse.", run.Output, StringComparison.Ordinal);
        Assert.Contains("Will not work: phone: the secret in /etc/sweeprig/webhook-secret cannot be read", run.Output, StringComparison.Ordinal);
        Assert.Contains("Will not work: bell: the program /usr/local/bin/ring is not there.", run.Output, StringComparison.Ordinal);
        var schema = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["alarms", "example", "--schema"])).Output)!;
        Assert.Equal(AlarmDocument.Format, (string?)schema["properties"]!["format"]!["const"]);
    }

    [Fact]
    public async Task A_trial_goes_along_each_way_and_says_what_became_of_it()
    {
        var rules = """ "rules": [{ "least": "alarm", "to": ["bell", "broken"] }] """;
        await WriteAsync($$"""{ "format": "alarms/1", "ways": [{ "name": "bell", "command": { "program": "/bin/sh", "arguments": ["-c", "cat > {{_data.File("rung")}}"] } }, { "name": "broken", "command": { "program": "/bin/false" } }], {{rules}} }""");
        var run = await CliRun.OfAsync(_data.Path, ["alarms", "try"]);
        Assert.Equal(1, run.ExitCode);
        Assert.Contains("bell: taken by /bin/sh.", run.Output, StringComparison.Ordinal);
        Assert.Contains("broken: not delivered: /bin/false ended with code 1.", run.Output, StringComparison.Ordinal);
        Assert.True((bool)JsonNode.Parse(await File.ReadAllTextAsync(_data.File("rung"), TestContext.Current.CancellationToken))!["trial"]!);
        Assert.Equal(0, (await CliRun.OfAsync(_data.Path, ["alarms", "try", "--way", "bell"])).ExitCode);
        var unknown = await CliRun.OfAsync(_data.Path, ["alarms", "try", "--way", "horn"]);
        Assert.Equal(2, unknown.ExitCode);
        Assert.Contains("bell, broken", unknown.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Every_fault_of_the_file_is_told()
    {
        await WriteAsync("""{ "format": "alarms/1", "ways": [{ "name": "a", "webhook": { "url": "x" } }], "rules": [{ "least": "alarm", "to": ["b"] }] }""");
        var run = await CliRun.OfAsync(_data.Path, ["alarms", "check"]);
        Assert.Equal((2, 2), (run.ExitCode, run.ErrorLines.Length));
    }

    private Task WriteAsync(string text) => File.WriteAllTextAsync(_data.File(AlarmDocument.FileName), text, TestContext.Current.CancellationToken);
}
