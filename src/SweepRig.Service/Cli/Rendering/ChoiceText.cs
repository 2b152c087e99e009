using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Which tube goes where, for a terminal.</summary>
public static class ChoiceText
{
    private const int Named = 6;

    public static IEnumerable<string> Lines(ChoiceView view, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(view);
        yield return ink.Strong($"{view.Gate}: worst margin {V(view.MarginVolts)}; no placement of these tubes has more than {V(view.BoundVolts)}{(view.BoundFirm ? "" : ", by an estimate: the tubes of a gate that holds itself hang on one another")}");
        var spares = view.Spares.ToDictionary(s => s.Position, s => s.Tubes, StringComparer.Ordinal);
        var table = new TextTable(("place", false), ("tube", false), ("type", false), ("spares, with the margin that is left", false));
        foreach (var tube in view.Tubes)
            table.Row(tube.Position, tube.Number ?? "", tube.Type ?? "?", !spares.TryGetValue(tube.Position, out var left) ? "pinned" : left.Length == 0 ? "none" : string.Join(", ", left.Select(s => $"{s.Number} {V(s.MarginVolts)}")));
        foreach (var line in table.Lines(ink)) yield return line;
        yield return view.RunnerUp is { } other
            ? $"Runner-up, {V(other.MarginVolts)}: the same but {string.Join(", ", other.Tubes.Select(t => $"{t.Position} {t.Number}"))}."
            : "There is no other placement.";
        yield return $"Inputs low at {V(view.LowVolts)}, high at {V(view.HighVolts)}; threshold {V(view.ThresholdVolts)}.";
        foreach (var left in view.LeftOut.Take(Named)) yield return $"Left out: {left.Number}, {left.Why}. {left.Remedy}";
        if (view.LeftOut.Length > Named) yield return $"So are {view.LeftOut.Length - Named} more; all stand in --json.";
        foreach (var remark in view.Remarks) yield return remark;
    }

    public static IEnumerable<string> Lines(GateSparesView view, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(view);
        yield return ink.Strong(view.MarginVolts > 0 ? $"{view.Gate}: margin {V(view.MarginVolts)} as it is; {view.LookedAt} tubes to take spares from" : $"{view.Gate}: wrong as it is; {view.LookedAt} tubes to take spares from");
        var table = new TextTable(("place", false), ("spares, with the margin that is then", false));
        foreach (var place in view.Places) table.Row(place.Position, place.Tubes.Length == 0 ? "none keeps every row right" : string.Join(", ", place.Tubes.Select(t => $"{t.Number} {V(t.MarginVolts)}")));
        foreach (var line in table.Lines(ink)) yield return line;
        foreach (var remark in view.Remarks) yield return remark;
    }

    private static string V(double volts) => Math.Abs(volts) < 5e-4 ? "0 V" : Engineering.Format(volts, "V", 4);
}
