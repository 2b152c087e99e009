using System.Globalization;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Rules of the interlocks for a terminal.</summary>
public static class InterlockText
{
    public static IEnumerable<string> List(InterlockListView list, Ink ink)
    {
        var table = new TextTable(("rule", false), ("attended", true), ("unattended", true), ("", false), ("", false));
        foreach (var rule in list.Rules)
        {
            var limit = rule.Limit;
            table.Row(rule.Id, limit is null ? "" : N(limit.Attended), limit is null ? "" : N(limit.Unattended), limit?.Unit ?? "", limit is { IsSet: true } ? "yours" : "");
        }
        foreach (var line in table.Lines(ink)) yield return line;
        yield return "";
        yield return $"Where rig, type or plan has a tighter limit, that holds. Set your own in {list.File} in the data directory; sweeprig interlocks RULE tells the range.";
        yield return "They limit damage to tubes; they are not a personnel safety system.";
    }

    public static IEnumerable<string> One(InterlockRuleView rule, Ink ink)
    {
        yield return ink.Strong($"{rule.Id}: {rule.Title}");
        yield return $"Hazard. {rule.Hazard}";
        yield return $"Rule. {rule.Action}";
        if (rule.Limit is { } limit)
        {
            yield return $"Limit. {N(limit.Attended)} {limit.Unit} attended, {N(limit.Unattended)} {limit.Unit} unattended{(limit.IsSet ? $", set by this bench (default {N(limit.DefaultAttended)} and {N(limit.DefaultUnattended)})" : "")}; "
                + $"{N(Math.Min(limit.Tightest, limit.Loosest))} to {N(Math.Max(limit.Tightest, limit.Loosest))} {limit.Unit} may be set, and {(limit.Loosest > limit.Tightest ? "lower" : "higher")} is tighter.";
            yield return $"Source. {limit.Source}.";
        }
        yield return $"When it has fired. {rule.Remedy}";
    }

    private static string N(double value) => value.ToString("0.####", CultureInfo.InvariantCulture);
}
