using System.CommandLine;
using SweepRig.Service.Cli;
using SweepRig.Service.Tests.Cli.Support;

namespace SweepRig.Service.Tests.Cli.Parsing;

public sealed class HelpTests : IDisposable
{
    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Theory]
    [InlineData("")]
    [InlineData("demo")]
    [InlineData("serve")]
    [InlineData("sweep")]
    [InlineData("screen")]
    [InlineData("explore")]
    [InlineData("round")]
    [InlineData("simulate")]
    [InlineData("runs")]
    [InlineData("runs list")]
    [InlineData("runs show")]
    [InlineData("runs health")]
    [InlineData("runs study")]
    [InlineData("runs export")]
    [InlineData("fit")]
    [InlineData("ask")]
    [InlineData("family")]
    [InlineData("logic")]
    [InlineData("logic solve")]
    [InlineData("logic netlist")]
    [InlineData("logic example")]
    [InlineData("logic levels")]
    [InlineData("logic search")]
    [InlineData("logic pair")]
    [InlineData("logic check")]
    [InlineData("logic yield")]
    [InlineData("logic parts")]
    [InlineData("logic schematic")]
    [InlineData("logic report")]
    [InlineData("logic choose")]
    [InlineData("logic build-check")]
    [InlineData("logic test-voltages")]
    [InlineData("logic spares")]
    [InlineData("logic timing")]
    [InlineData("logic map")]
    [InlineData("permit")]
    [InlineData("safe")]
    [InlineData("acknowledge")]
    public async Task Help_ends_with_examples_that_are_command_lines(string command)
    {
        var run = await CliRun.OfAsync(_data.Path, [.. Words(command), "--help"]);

        Assert.Equal(0, run.ExitCode);
        Assert.Empty(run.Error);
        var examples = run.Output[run.Output.IndexOf("Examples:", StringComparison.Ordinal)..];
        Assert.Contains($"  sweeprig {command}".TrimEnd(), examples, StringComparison.Ordinal);
        Assert.DoesNotContain(run.Output.Split('\n'), line => line != line.TrimEnd() && line.Trim().Length == 0 && line.Length > 4);
    }

    [Theory]
    [InlineData("demo")]
    [InlineData("serve")]
    [InlineData("sweep")]
    [InlineData("screen")]
    [InlineData("round")]
    [InlineData("simulate")]
    [InlineData("runs list")]
    [InlineData("runs show")]
    [InlineData("runs health")]
    [InlineData("runs export")]
    [InlineData("fit")]
    [InlineData("ask")]
    [InlineData("family")]
    [InlineData("permit")]
    [InlineData("safe")]
    [InlineData("acknowledge")]
    public async Task Every_command_can_write_json(string command)
    {
        var run = await CliRun.OfAsync(_data.Path, [.. Words(command), "--help"]);
        Assert.Contains("--json", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task No_command_of_the_tree_is_without_json_or_examples()
    {
        using var output = new StringWriter();
        var context = new CliContext(new(output, output, false, false, false, 80), TextReader.Null, TimeProvider.System, _ => null);
        var seen = 0;
        foreach (var command in Below(CommandLine.Build(context), ""))
        {
            var run = await CliRun.OfAsync(_data.Path, [.. Words(command.Path), "--help"]);
            Assert.Contains($"  sweeprig {command.Path}", run.Output[run.Output.IndexOf("Examples:", StringComparison.Ordinal)..], StringComparison.Ordinal);
            if (command.Command.Subcommands.Count == 0) Assert.Contains(command.Command.Options, o => o.Name == "--json");
            seen++;
        }
        Assert.True(seen >= 11, $"{seen} commands");
    }

    [Fact]
    public async Task Without_a_command_the_help_is_shown()
    {
        var run = await CliRun.OfAsync(_data.Path, []);
        Assert.Equal(0, run.ExitCode);
        foreach (var command in new[] { "demo", "serve", "sweep", "simulate", "runs", "export", "permit", "safe", "acknowledge" })
            Assert.Contains($"  {command}", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_version_is_one_line()
    {
        var run = await CliRun.OfAsync(_data.Path, ["--version"]);
        Assert.Equal(0, run.ExitCode);
        Assert.Single(run.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries));
    }

    private static IEnumerable<(string Path, Command Command)> Below(Command parent, string path) =>
        parent.Subcommands.SelectMany(c => Below(c, $"{path} {c.Name}".Trim()).Prepend(($"{path} {c.Name}".Trim(), c)));

    private static string[] Words(string command) => command.Split(' ', StringSplitOptions.RemoveEmptyEntries);
}
