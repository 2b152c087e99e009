using SweepRig.Domain.Quantities;
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
        var table = new TextTable(("item", false), ("value", true), ("±", true), ("verdict", false));
        foreach (var item in report.Items) table.Row(item.Title, Number(item.Figure.Value, item.Figure.Unit), Number(item.Figure.ExpandedUncertainty, item.Figure.Unit), item.Verdict);
        foreach (var line in table.Lines(ink)) yield return line;
        yield return ink.Faint("± is the expanded uncertainty, 95 %.");
        foreach (var mark in report.Items.Select(i => i.Figure.Mark).OfType<string>().Where(m => !m.StartsWith("at ", StringComparison.Ordinal)).Distinct(StringComparer.Ordinal)) yield return ink.Faint($"Some figures: {mark}.");
        yield return "";
        yield return "Not seen:";
        foreach (var line in report.NotSeen) yield return $"  {line}";
    }

    private static string Verdict(string verdict, Ink ink) => verdict switch
    {
        "bad" => ink.Alarm("bad"),
        "not-seen" => ink.Alarm("not judged, the screening did not run to its end"),
        _ => ink.Strong(verdict),
    };

    private static string Number(double? value, string unit) => value is not { } number ? "" : unit switch
    {
        "%" => FormattableString.Invariant($"{number:0.##} %"),
        "1" => FormattableString.Invariant($"{number:0.#####}"),
        _ => Engineering.Format(number, unit, 3),
    };
}
