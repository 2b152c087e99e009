using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using SweepRig.Service.Cli.Demonstration;
using SweepRig.Service.Tests.Cli.Support;
using SweepRig.Service.Tests.Support;

namespace SweepRig.Service.Tests.Cli.Commands;

/// <summary>The end of the README's tour: every command as it stands there, and every figure that it states.</summary>
[Collection(RealTime.Name)]
public sealed partial class ReadmeTourTests : IDisposable
{
    private const string Begin = "**Count.**", Data = "tide-clock";

    private static readonly string[] Asked = ["logic search", "logic choose", "logic check", "logic sheet timing"];

    // Samples of the simulated rig have noise, and the order in which it falls on tubes is not always the same.
    private const double Share = 0.05;

    // For the same reason the search may end at the next value of the series: of E12 none is further from its neighbour (IEC 60063).
    private const double OneValue = 1.26;

    private readonly TemporaryData _data = new();

    public void Dispose() => _data.Dispose();

    [Fact]
    public async Task The_counter_stage_is_built_from_the_demo_stock_as_the_readme_says()
    {
        Directory.CreateDirectory(_data.Path);
        var readme = await File.ReadAllTextAsync(Repository.At("README.md"), TestContext.Current.CancellationToken);
        var stage = readme[readme.IndexOf(Begin, StringComparison.Ordinal)..];
        stage = stage[..stage.IndexOf("\n## ", StringComparison.Ordinal)];
        string[] commands = [.. Block().Match(stage).Groups[1].Value.Split('\n', StringSplitOptions.RemoveEmptyEntries)];
        var told = Row().Matches(stage).ToDictionary(m => m.Groups[1].Value, m => m.Groups[2].Value, StringComparer.Ordinal);

        var outputs = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var command in commands)
        {
            var asked = Asked.FirstOrDefault(a => command.StartsWith($"sweeprig {a} ", StringComparison.Ordinal));
            outputs[asked ?? command] = await GoodAsync(asked is null ? command : command + " --json");
        }
        Demonstrated(outputs[commands[0]]);
        using var search = JsonDocument.Parse(outputs["logic search"]);
        var values = search.RootElement.GetProperty("values");
        foreach (var (key, option) in new[] { ("plateOhms", "--plate-resistor"), ("upperOhms", "--upper"), ("lowerOhms", "--lower") })
            Assert.All(commands.Where(c => c.Contains(option, StringComparison.Ordinal)), c => Assert.InRange(double.Parse(c.Split(option + " ")[1].Split(' ')[0], CultureInfo.InvariantCulture) / values.GetProperty(key).GetDouble(), 1 / OneValue, OneValue));

        using var choice = JsonDocument.Parse(outputs["logic choose"]);
        var best = choice.RootElement.GetProperty("marginVolts").GetDouble();
        Near(told["worst margin"], best);
        // Of pairs that differ by less than the samples tell, another run may name another: those of the README are to be as good.
        using var check = JsonDocument.Parse(outputs["logic check"]);
        Assert.True(check.RootElement.GetProperty("right").GetBoolean());
        Assert.InRange(check.RootElement.GetProperty("marginVolts").GetDouble(), best * (1 - Share), best * (1 + Share));
        string[] tubes = [.. check.RootElement.GetProperty("tubes").EnumerateArray().Select(t => t.GetProperty("number").GetString()!)];
        Assert.StartsWith(string.Join(" and ", tubes), told["tubes"], StringComparison.Ordinal);
        Assert.All(commands.Where(c => c.Contains("--tube", StringComparison.Ordinal)), c => Assert.Contains($"--tube {tubes[0]} --tube {tubes[1]} ", c, StringComparison.Ordinal));

        using var timing = JsonDocument.Parse(outputs["logic sheet timing"]);
        var trigger = timing.RootElement.GetProperty("triggers")[0];
        Near(told["counts at most"], 1 / trigger.GetProperty("shortestPeriodSeconds").GetDouble());
        Near(told["smallest trigger"], trigger.GetProperty("smallestFallVolts").GetDouble());
        Near(told["rails"], timing.RootElement.GetProperty("needs").GetProperty("mostWatts").GetDouble());
        Near(told["heaters"], timing.RootElement.GetProperty("needs").GetProperty("heaterWatts").GetDouble());
        Assert.Equal("%PDF"u8.ToArray(), (await File.ReadAllBytesAsync(_data.File("counter.pdf"), TestContext.Current.CancellationToken))[..4]);
    }

    /// <summary>The figure that a cell of the table begins with, its unit brought to volts, hertz or watts.</summary>
    private static void Near(string cell, double figure)
    {
        var match = Figure().Match(cell);
        var scale = match.Groups[2].Value switch { "k" => 1e3, "m" => 1e-3, _ => 1 };
        var said = scale * double.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture);
        Assert.True(Math.Abs(figure - said) <= Share * said, $"README says {cell}; it is {figure}");
    }

    private void Demonstrated(string output)
    {
        Assert.Equal(1, output.Split(DemoScenario.Cautions).Length - 1);
        Assert.Equal(2, output.Split("output / V over drive / V").Length - 1);
        foreach (var expected in (string[])["pentode up", "triode down", "worst margin", "counts at most"]) Assert.Contains(expected, output, StringComparison.Ordinal);
        Assert.All(Directory.GetFiles(_data.File($"{Data}/exports")), csv => Assert.Contains($"csv    {csv}", output, StringComparison.Ordinal));
    }

    private async Task<string> GoodAsync(string command)
    {
        var parts = command.Split(" > ");
        string[] words = [.. parts[0].Split(' ').Skip(1).Select(w => w == Data || w.StartsWith("counter.", StringComparison.Ordinal) ? _data.File(w) : w)];
        var run = await CliRun.OfAsync(_data.Path, words);
        Assert.True(run.ExitCode == 0, $"{command} ended with {run.ExitCode}:\n{run.Error}{run.Output}");
        if (parts.Length > 1) await File.WriteAllTextAsync(_data.File(parts[1]), run.Output, TestContext.Current.CancellationToken);
        return run.Output;
    }

    [GeneratedRegex("```\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex Block();

    [GeneratedRegex(@"^\| ([a-z ]+) \| (.+) \|$", RegexOptions.Multiline)]
    private static partial Regex Row();

    [GeneratedRegex(@"^([\d.]+) ([km]?)[A-Z]")]
    private static partial Regex Figure();
}
