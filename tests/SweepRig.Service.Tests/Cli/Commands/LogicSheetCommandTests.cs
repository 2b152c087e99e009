using System.Text.Json;
using SweepRig.Logic.Gates.Documents;
using SweepRig.Service.Tests.Cli.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

public sealed class LogicSheetCommandTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_sheet_becomes_a_network_that_is_solved()
    {
        var list = await CliRun.OfAsync(_data.Path, ["logic", "sheet", "example"]);
        Assert.All(CircuitKinds.All, k => Assert.Contains($"\n{k.Word} ", list.Output, StringComparison.Ordinal));
        var sheet = await CliRun.OfAsync(_data.Path, ["logic", "sheet", "example", "toggle"]);
        var expanded = await CliRun.OfAsync(_data.Path, ["logic", "sheet", "expand", Kept("toggle.json", sheet.Output)]);
        Assert.Equal(0, expanded.ExitCode);
        var solved = await CliRun.OfAsync(_data.Path, ["logic", "solve", Kept("network.json", expanded.Output)]);
        Assert.Contains("toggle: 2 stable states", solved.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Timing_tells_delays_and_triggers()
    {
        var sheet = Kept("toggle.json", (await CliRun.OfAsync(_data.Path, ["logic", "sheet", "example", "toggle"])).Output);
        var text = await CliRun.OfAsync(_data.Path, ["logic", "sheet", "timing", sheet]);
        Assert.Equal(0, text.ExitCode);
        Assert.Contains("trigger: shortest period 12", text.Output, StringComparison.Ordinal);
        Assert.Contains("trigger down  q up", text.Output, StringComparison.Ordinal);
        using var json = JsonDocument.Parse((await CliRun.OfAsync(_data.Path, ["logic", "sheet", "timing", sheet, "--json"])).Output);
        Assert.Equal(4, json.RootElement.GetProperty("delays").GetArrayLength());
        Assert.InRange(json.RootElement.GetProperty("triggers")[0].GetProperty("shortestPeriodSeconds").GetDouble(), 10e-6, 15e-6);
    }

    [Fact]
    public async Task Faults_are_told_with_their_places()
    {
        var path = Kept("bad.json", """{"format":"gates/1","name":"n","rails":{"plateVolts":28,"biasVolts":-14,"heaterVolts":6.3},"inputs":["a"],"outputs":["y"],"gates":[{"kind":"inverter","inputs":["b"],"outputs":["y"]},{"kind":"invertor","inputs":["a"],"outputs":["x"]}]}""");
        var run = await CliRun.OfAsync(_data.Path, ["logic", "sheet", "expand", path]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("Did you mean \"inverter\"", run.Error, StringComparison.Ordinal);
        var absent = await CliRun.OfAsync(_data.Path, ["logic", "sheet", "timing", Path.Combine(_data.Path, "none.json")]);
        Assert.Equal(2, absent.ExitCode);
        Assert.Contains("there is no such file", absent.Error, StringComparison.Ordinal);
        var unknown = await CliRun.OfAsync(_data.Path, ["logic", "sheet", "example", "togle"]);
        Assert.Contains("Did you mean toggle?", unknown.Error, StringComparison.Ordinal);
        var unmeasured = Kept("numbered.json", """{"format":"gates/1","name":"n","rails":{"plateVolts":28,"biasVolts":-14,"heaterVolts":6.3},"inputs":["a"],"outputs":["y"],"gates":[{"kind":"inverter","inputs":["a"],"outputs":["y"],"tubes":["SKUA-014"]}]}""");
        var never = await CliRun.OfAsync(_data.Path, ["logic", "sheet", "timing", unmeasured]);
        Assert.Equal(2, never.ExitCode);
        Assert.Contains("sweeprig sweep", never.Error, StringComparison.Ordinal);
    }

    private string Kept(string name, string text)
    {
        Directory.CreateDirectory(_data.Path);
        var path = Path.Combine(_data.Path, name);
        File.WriteAllText(path, text);
        return path;
    }
}
