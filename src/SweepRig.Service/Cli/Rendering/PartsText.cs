using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>What a build takes, for a terminal.</summary>
public static class PartsText
{
    public static IEnumerable<string> Lines(PartsView view, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(view);
        yield return ink.Strong($"Parts of {view.Of}");
        if (view.Tubes.Length > 0)
        {
            var tubes = new TextTable(("place", false), ("tube", false), ("type", false), ("connection", false), ("heater", true), ("cathode, most", true), ("plate, most", true));
            foreach (var t in view.Tubes)
                tubes.Row(t.Position, t.Number ?? "not of the stock", t.Type ?? "?", t.Connection, $"{V(t.HeaterVolts)}, {(t.HeaterAmperes is { } a ? A(a) : "?")}", A(t.MostCathodeAmperes), W(t.MostPlateWatts));
            foreach (var line in tubes.Lines(ink)) yield return line;
            yield return "";
        }
        if (view.Resistors.Length > 0)
        {
            var resistors = new TextTable(("resistor", true), ("series", false), ("count", true), ("bears", true), ("buy", true), ("which", false));
            foreach (var r in view.Resistors)
                resistors.Row(Engineering.Format(r.Ohms, "Ω", 3), r.Series ?? "none", FormattableString.Invariant($"{r.Count}"), W(r.MostWatts), r.RatedWatts is { } rated ? W(rated) : "above 10 W", string.Join(", ", r.Names));
            foreach (var line in resistors.Lines(ink)) yield return line;
            yield return "";
        }
        foreach (var (what, parts) in new[] { ("capacitor", view.Capacitors), ("diode", view.Diodes) })
        {
            if (parts.Length == 0) continue;
            var others = new TextTable((what, false), ("count", true), ("bears", true), ("buy", true), ("which", false));
            foreach (var p in parts) others.Row(p.Kind, FormattableString.Invariant($"{p.Count}"), V(p.MostVolts), V(p.RatedVolts), string.Join(", ", p.Names));
            foreach (var line in others.Lines(ink)) yield return line;
            yield return "";
        }
        var supplies = new TextTable(("supply", false), ("volts", true), ("current, most", true), ("power, most", true));
        foreach (var s in view.Supplies) supplies.Row(s.Node.Replace('_', ' '), V(s.Volts), A(Math.Abs(s.MostAmperes)), W(Math.Max(0, s.MostWatts)));
        if (view.Tubes.Length > 0) supplies.Row("heaters", string.Join(", ", view.Tubes.Select(t => t.HeaterVolts).Distinct().Order().Select(V)), A(view.HeaterAmperes), W(view.HeaterWatts));
        foreach (var line in supplies.Lines(ink)) yield return line;
        yield return $"What each bears is its worst row, with rails and resistors at the adverse end of their tolerance; buy what bears {Engineering.Figure(view.SafetyFactor, "1", 2)} times that.";
        if (view.HeatersUnknown.Length > 0) yield return $"The heater current of {string.Join(", ", view.HeatersUnknown)} is not known and not in the sum.";
        foreach (var remark in view.Remarks) yield return remark;
    }

    private static string V(double volts) => Math.Abs(volts) < 5e-4 ? "0 V" : Engineering.Format(volts, "V", 4);

    private static string A(double amps) => Math.Abs(amps) < 1e-12 ? "0 A" : Engineering.Format(amps, "A", 3);

    private static string W(double watts) => Math.Abs(watts) < 1e-9 ? "0 W" : Engineering.Format(watts, "W", 3);
}
