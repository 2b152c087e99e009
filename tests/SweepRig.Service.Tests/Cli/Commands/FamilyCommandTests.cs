using System.Text.Json.Nodes;
using Microsoft.Extensions.Logging.Abstractions;
using SweepRig.Domain.Runs;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;
using SweepRig.Storage;

namespace SweepRig.Service.Tests.Cli.Commands;

[Collection(RealTime.Name)]
public sealed class FamilyCommandTests : IDisposable
{
    private static readonly string[] Bench = ["--tube", "SKUA-014", "--type", "6AU6", "--heater-speed", "1000", "--json"];

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_stepped_rail_is_drawn_with_a_load_line_and_the_outputs_that_it_gives()
    {
        Assert.Equal(0, (await CliRun.OfAsync(_data.Path, ["sweep", "plate-family", .. Bench])).ExitCode);
        var run = await CliRun.OfAsync(_data.Path, ["family", "latest", "--resistor", "22000", "--rail", "26"]);
        Assert.Equal((0, ""), (run.ExitCode, run.Error));
        foreach (var part in new[] { "Triode connection, 7 curves of 1 run.", "plate current / mA over plate voltage / V", "Straight: the load line, 22 kΩ at 26 V.", "output with 22 kΩ at 26 V / V", "The rig is not calibrated." })
            Assert.Contains(part, run.Output, StringComparison.Ordinal);
        // Wide enough for nobody's terminal to wrap the drawing.
        Assert.All(run.Output.Split('\n').Where(line => line.Contains('│', StringComparison.Ordinal)), line => Assert.True(line.Length <= 80, line));

        var json = JsonNode.Parse((await CliRun.OfAsync(_data.Path, ["family", "latest", "--resistor", "22000", "--json"])).Output)!;
        Assert.Equal(7, (int)json["family"]!["curves"]!);
        Assert.Equal(22_000, (double)json["prediction"]!["plateResistorOhms"]!);
        Assert.Equal(28, (double)json["prediction"]!["plateRailVolts"]!);

        var itself = await CliRun.OfAsync(_data.Path, ["family", "latest", "--check", "latest"]);
        Assert.Equal(2, itself.ExitCode);
        Assert.Contains("Choose another run, or take it out of the family.", itself.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--resistor", "0", "allowed is")]
    [InlineData("--resistor", "22k", "allowed is")]
    [InlineData("--rail", "61", "60 V")]
    public async Task A_load_line_that_is_none_gets_one_line_with_value_limit_and_remedy(string option, string value, string part)
    {
        var run = await CliRun.OfAsync(_data.Path, ["family", "latest", option, value]);
        Assert.Equal(2, run.ExitCode);
        var line = Assert.Single(run.ErrorLines);
        Assert.Contains($"{option} {value}: ", line, StringComparison.Ordinal);
        Assert.Contains(part, line, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_run_with_nothing_stepped_is_told_what_makes_a_family()
    {
        var cancellation = TestContext.Current.CancellationToken;
        var header = Examples.Header();
        await using (var store = await RunStore.OpenAsync(_data.Path, TimeProvider.System, NullLogger<RunStore>.Instance, cancellation))
        {
            await using var recording = await store.BeginAsync(header, cancellation);
            await recording.AppendAsync([Examples.Block(0, 141)], cancellation);
            await recording.EndAsync(RunState.Complete, header.StartedUtc.AddSeconds(4), cancellation);
        }
        var run = await CliRun.OfAsync(_data.Path, ["family", "latest"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("Step the plate rail in triode connection", Assert.Single(run.ErrorLines), StringComparison.Ordinal);
    }
}
