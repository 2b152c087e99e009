using System.Text.Json;
using SweepRig.Service.Hosting;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>A rig on the computer's own buses from the command line, on a machine that does not have them.</summary>
public sealed class BusTests : IDisposable
{
    private static readonly string Example = File.ReadAllText(Repository.At("firmware-notes", "direct-bus.example.json"));

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Theory]
    [InlineData("serve")]
    [InlineData("sweep gentle-pentode --tube SKUA-014 --type 6AU6")]
    public async Task A_machine_without_that_bus_gives_one_line_with_a_remedy(string command)
    {
        // No board has as many.
        var run = await RunAsync(command, Example.Replace("\"bus\": 1", "\"bus\": 255", StringComparison.Ordinal));

        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        var line = Assert.Single(run.ErrorLines);
        Assert.StartsWith("sweeprig: There is no I2C bus 255 on this machine (/dev/i2c-255).", line, StringComparison.Ordinal);
        Assert.EndsWith("Enable the bus in the settings of the board's system and start it again, or correct the number in the --bus file.", line, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("serve")]
    [InlineData("sweep gentle-pentode --tube SKUA-014 --type 6AU6")]
    public async Task Every_fault_of_the_file_is_told_at_once_with_file_and_path(string command)
    {
        var run = await RunAsync(command, Example
            .Replace("\"gridMilliamps\"", "\"gridMiliamps\"", StringComparison.Ordinal)
            .Replace("\"0x48\"", "\"0x50\"", StringComparison.Ordinal));

        Assert.Equal((2, ""), (run.ExitCode, run.Output));
        Assert.Equal(3, run.ErrorLines.Length);
        var file = _data.File("bench.json");
        Assert.Contains($"sweeprig: {file} /converters/first: First is \"0x50\"; an address from \"0x48\" to \"0x4b\" is needed. Write the address that the chip's address pins set.", run.Error, StringComparison.OrdinalIgnoreCase);
        Assert.Contains($"{file} /limits/gridMiliamps:", run.Error, StringComparison.Ordinal);
        Assert.Contains("Did you mean \"gridMilliamps\"?", run.Error, StringComparison.Ordinal);
        Assert.Contains($"{file} /limits/gridMilliamps:", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_missing_file_and_a_directory_give_one_line()
    {
        foreach (var (path, why) in new[] { (_data.File("none.json"), "there is no such file"), (_data.Path, "it is a directory") })
        {
            var run = await CliRun.OfAsync(_data.Path, ["serve", "--bus", path]);
            Assert.Equal((2, ""), (run.ExitCode, run.Output));
            Assert.Equal($"sweeprig: {path}: The configuration cannot be read; {why}. Give the path of a configuration, as in firmware-notes/direct-bus.example.json.", Assert.Single(run.ErrorLines));
        }
    }

    [Fact]
    public async Task Faults_are_an_object_for_a_program()
    {
        var run = await RunAsync("serve --json", "{}");
        Assert.Equal(2, run.ExitCode);
        using var answer = JsonDocument.Parse(run.Output);
        Assert.NotEmpty(answer.RootElement.EnumerateObject());
    }

    [Fact]
    public void The_bench_gives_a_real_heater_its_time()
    {
        var bus = Rigs.Bus.Configuration.BusDocument.Parse(Example).Value!;
        var options = new BenchOptions { DataDirectory = _data.Path, Bus = bus };
        Assert.Equal(BenchOptions.RealWarmUp, options.EffectiveWarmAfter);
    }

    private Task<CliRun> RunAsync(string command, string config)
    {
        var file = _data.File("bench.json");
        File.WriteAllText(file, config);
        return CliRun.OfAsync(_data.File("runs"), [.. command.Split(' '), "--bus", file]);
    }
}
