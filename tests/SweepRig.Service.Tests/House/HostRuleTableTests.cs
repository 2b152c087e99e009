using System.Globalization;
using SweepRig.Benchmarks.Mutations;
using SweepRig.Service.Tests.Support;
using SweepRig.Sweeps.Interlocks;

namespace SweepRig.Service.Tests.House;

/// <summary>The host's rules as the builder's notes print them are those that are declared.</summary>
public sealed class HostRuleTableTests
{
    private const string RewriteSwitch = "SWEEPRIG_WRITE_RULES";
    private const string Heading = "| rule | what is forbidden | hazard | attended | unattended | may be set | source of the defaults |";

    [Fact]
    public void The_notes_print_every_rule_as_it_is_declared()
    {
        var notes = SourceTree.Read(Protection.Document);
        var start = notes.IndexOf(Heading, StringComparison.Ordinal);
        Assert.True(start >= 0, $"{Protection.Document} has no table with the heading {Heading}");
        var end = notes.IndexOf("\n\n", start, StringComparison.Ordinal);
        var printed = notes[start..(end < 0 ? notes.Length : end)].TrimEnd();
        if (Environment.GetEnvironmentVariable(RewriteSwitch) == "1")
            File.WriteAllText(Repository.At(Protection.Document), notes[..start] + Table() + (end < 0 ? "\n" : notes[end..]));
        Assert.True(printed == Table(), $"{Protection.Document} does not print the rules as they are declared. Write the table anew with: {RewriteSwitch}=1 dotnet test tests/SweepRig.Service.Tests --filter HostRuleTableTests");
    }

    private static string Table() => string.Join('\n', [Heading, "| --- | --- | --- | --- | --- | --- | --- |", .. InterlockRules.All.Select(Row)]);

    private static string Row(InterlockRule rule) => rule.Limit is not { } limit
        ? $"| `{rule.Id}` | {rule.Title} | {rule.Hazard} | | | | |"
        : $"| `{rule.Id}` | {rule.Title} | {rule.Hazard} | {limit.Text(limit.Attended)} | {limit.Text(limit.Unattended)} | {N(limit.Least)} to {limit.Text(limit.Most)} | {limit.Source} |";

    private static string N(double value) => value.ToString("0.####", CultureInfo.InvariantCulture);
}
