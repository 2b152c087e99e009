using System.Globalization;
using SweepRig.Sweeps.Interlocks;
using SweepRig.Wire.Exploration;

namespace SweepRig.Sweeps.Tests.Interlocks;

/// <summary>The host's rules as the builder's notes print them are those that are declared.</summary>
public sealed class HostRuleTableTests
{
    private const string Document = "firmware-notes/interlocks.md";
    private const string RewriteSwitch = "SWEEPRIG_WRITE_RULES";
    private const string Heading = "| rule | what is forbidden | hazard | attended | unattended | may be set | source of the defaults |";

    [Fact]
    public void The_notes_print_every_rule_as_it_is_declared()
    {
        var file = Path.Combine(FirmwareLibrary.Root(), Document);
        var notes = File.ReadAllText(file);
        var start = notes.IndexOf(Heading, StringComparison.Ordinal);
        Assert.True(start >= 0, $"{Document} has no table with the heading {Heading}");
        var end = notes.IndexOf("\n\n", start, StringComparison.Ordinal);
        var printed = notes[start..(end < 0 ? notes.Length : end)].TrimEnd();
        if (Environment.GetEnvironmentVariable(RewriteSwitch) == "1")
            File.WriteAllText(file, notes[..start] + Table() + (end < 0 ? "\n" : notes[end..]));
        Assert.True(printed == Table(), $"{Document} does not print the rules as they are declared. Write the table anew with: {RewriteSwitch}=1 dotnet test tests/SweepRig.Sweeps.Tests --filter HostRuleTableTests");
    }

    private static string Table() => string.Join('\n', [Heading, "| --- | --- | --- | --- | --- | --- | --- |", .. InterlockRules.All.Select(Row)]);

    private static string Row(InterlockRule rule) => rule.Limit is not { } limit
        ? $"| `{rule.Id}` | {rule.Title} | {rule.Hazard} | | | | |"
        : $"| `{rule.Id}` | {rule.Title} | {rule.Hazard} | {limit.Text(limit.Attended)} | {limit.Text(limit.Unattended)} | {N(limit.Least)} to {limit.Text(limit.Most)} | {limit.Source} |";

    private static string N(double value) => value.ToString("0.####", CultureInfo.InvariantCulture);
}
