using System.Text.Json;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Building;
using SweepRig.Logic.Gates;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Tubes.Catalogue;
using SweepRig.Tubes.Model;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>Readings of an inverter as a sound build gives them, and of one whose tube is not heated.</summary>
public sealed class LogicBuildCheckTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task A_sound_build_passes_and_a_dead_tube_is_named()
    {
        var readings = Expected();
        var sound = await RunAsync([.. readings.Select(Line)]);
        Assert.Equal(0, sound.ExitCode);
        Assert.Contains($"All {readings.Count} readings are within their tolerances", sound.Output, StringComparison.Ordinal);

        // No current through the tube: its plate stays where it is with the input low, whatever the input.
        var (low, plate) = (readings[0].Row, GateExamples.All.First(e => e.Word == "inverter").Make(new(28, -14, 6.3), new()).Outputs[0]);
        var cut = readings.First(r => r.Node == plate && r.Row == low).ReadVolts;
        var dead = await RunAsync([.. readings.Where(r => r.Node == plate).Select(r => Line(r with { ReadVolts = cut }))], "--json");
        Assert.Equal(1, dead.ExitCode);
        using var json = JsonDocument.Parse(dead.Output);
        Assert.False(json.RootElement.GetProperty("sound").GetBoolean());
        Assert.Contains(json.RootElement.GetProperty("explanations").EnumerateArray(), e => e.GetProperty("says").GetString()!.Contains("gives nothing", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("", "Write this line at the top")]
    [InlineData("node,volts", "Columns node,volts")]
    [InlineData("node,row,volts\nq,a=0", "2 fields")]
    [InlineData("node,row,volts\nq,a=0,12 V", "without a unit")]
    [InlineData("node,row,volts", "Read the outputs in every row first.")]
    [InlineData("node,row,volts\nnowhere,a=0,12", "node nowhere")]
    [InlineData("node,row,volts,meterOhms\nq,a=0,12,5", "10 MΩ is usual")]
    public async Task What_is_no_reading_is_refused_with_its_line_or_place(string csv, string remedy)
    {
        var run = await RunAsync(csv.Split('\n'), head: false);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(remedy, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_file_that_is_not_there_is_said()
    {
        var run = await CliRun.OfAsync(_data.Path, ["logic", "build-check", "inverter", "none.csv"]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("there is no such file", run.Error, StringComparison.Ordinal);
    }

    private async Task<CliRun> RunAsync(string[] lines, string? option = null, bool head = true)
    {
        var file = Path.Combine(_data.Path, "readings.csv");
        await File.WriteAllLinesAsync(file, head ? lines.Prepend("node,row,volts") : lines, TestContext.Current.CancellationToken);
        return await CliRun.OfAsync(_data.Path, option is null ? ["logic", "build-check", "inverter", file] : ["logic", "build-check", "inverter", file, option]);
    }

    private static string Line(TestVoltage v) => FormattableString.Invariant($"{v.Node},{v.Row},{v.ReadVolts:0.000}");

    private static IReadOnlyList<TestVoltage> Expected()
    {
        var gates = GateExamples.All.First(e => e.Word == "inverter").Make(new(28, -14, 6.3), new());
        var plan = BuildPlan.Of(gates, p => new(p, "p", "s", "g", "0", new TubeModel(ExampleTubes.Sound6AU6, new Volts(6.3)))).Value!;
        return TestVoltages.Of(plan, BuildTolerances.Usual);
    }
}
