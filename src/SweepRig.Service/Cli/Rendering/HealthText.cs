using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>A health report for people: verdict, reasons, a row an item, and what was not seen.</summary>
public static class HealthText
{
    public static IEnumerable<string> Lines(HealthView report, Ink ink)
    {
        yield return $"{report.Tube.Label} ({report.Tube.Type}): {Verdict(report.Verdict, ink)}";
        foreach (var reason in report.Reasons) yield return $"  {reason}";
        yield return "";
        // What is longest stands last, so that a narrow terminal leaves the numbers in their columns.
        var table = new TextTable(("verdict", false), ("value", true), ("item", false));
        foreach (var item in report.Items) table.Row(Word(item.Verdict), item.Figure.Value is null ? "" : FigureText.Scaled(item.Figure), item.Title);
        foreach (var line in table.Lines(ink)) yield return line;
        yield return ink.Faint("± is the expanded uncertainty, 95 %.");
        foreach (var mark in report.Items.Select(i => i.Figure.Mark).OfType<string>().Where(m => !m.StartsWith("at ", StringComparison.Ordinal)).Distinct(StringComparer.Ordinal)) yield return ink.Faint($"Some figures: {mark}.");
        yield return "";
        yield return "Not seen:";
        foreach (var line in report.NotSeen) yield return $"  {line}";
    }

    /// <summary>A verdict in a few words.</summary>
    public static string Sentence(string verdict) => verdict == "not-seen" ? "not judged, the screening did not run to its end" : verdict;

    /// <summary>The verdict on an item in a table.</summary>
    public static string Word(string verdict) => verdict == "not-seen" ? "not seen" : verdict;

    private static string Verdict(string verdict, Ink ink) => verdict is "bad" or "not-seen" ? ink.Alarm(Sentence(verdict)) : ink.Strong(Sentence(verdict));
}
