using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>Stages, searches, pairs, tables and yields for a terminal.</summary>
public static class LogicText
{
    private const int MostCurves = 12;

    public static IEnumerable<string> Lines(StageView stage, int width, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(stage);
        var across = stage.InputVolts.Select(v => (double?)v).ToArray();
        foreach (var line in TextPlot.Lines([.. new[] { stage.LowestVolts, stage.HighestVolts }.Select(c => (across, c.Select(v => (double?)v).ToArray()))], "output / V over input / V", width)) yield return line;
        var figures = new TextTable(("", false), ("", true));
        figures.Row("highest low level", stage.Levels.Restores ? V(stage.Levels.LowVolts) : "-");
        figures.Row("lowest high level", stage.Levels.Restores ? V(stage.Levels.HighVolts) : "-");
        figures.Row("threshold", V(stage.Levels.ThresholdVolts));
        figures.Row("VIL", V(stage.Margins.InputLow));
        figures.Row("VIH", V(stage.Margins.InputHigh));
        figures.Row("margin when low", V(stage.Margins.Low));
        figures.Row("margin when high", V(stage.Margins.High));
        figures.Row("largest square", V(stage.Margins.Square));
        figures.Row("input current when high", stage.High is { } high ? A(high.InputAmperes) : "-");
        figures.Row("grid current at the rail", A(stage.Burden.GridAmperes));
        figures.Row("plate dissipation, most", W(stage.Burden.PlateWatts));
        if (stage.Low is { } low && stage.High is { } most) figures.Row("from the rails, low and high", $"{W(low.SupplyWatts)}, {W(most.SupplyWatts)}");
        foreach (var line in figures.Lines(ink)) yield return line;
        if (stage.Margins.Says is { } says) yield return $"VIL or VIH is missing: {says}.";
        if (stage.Curves.Length > 1)
        {
            yield return "";
            var tubes = new TextTable(("tube", false), ("low", true), ("high", true), ("VIL", true), ("VIH", true), ("square", true), ("", false));
            foreach (var c in stage.Curves.OrderBy(c => c.Margin).Take(MostCurves)) tubes.Row(c.Tube ?? "example", V(c.LowVolts), V(c.HighVolts), V(c.InputLowVolts), V(c.InputHighVolts), V(c.Margin), c.Marked is null ? "" : "extrapolated");
            foreach (var line in tubes.Lines(ink)) yield return line;
            if (stage.Curves.Length > MostCurves) yield return $"The {MostCurves} with the least margin of {stage.Curves.Length}; all stand in --json.";
        }
        foreach (var remark in stage.Remarks) yield return remark;
    }

    public static IEnumerable<string> Lines(SearchView search, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(search);
        yield return ink.Strong($"Margin {V(search.MarginVolts)} with {(search.Tubes == 1 ? "the tube" : $"any of {search.Tubes} tubes")} and every resistor within its tolerance");
        var table = new TextTable(("", false), ("", true));
        table.Row("plate resistor", R(search.Values.PlateOhms));
        table.Row("upper resistor", R(search.Values.UpperOhms));
        table.Row("lower resistor", R(search.Values.LowerOhms));
        table.Row("highest low level", V(search.LowVolts));
        table.Row("lowest high level", V(search.HighVolts));
        table.Row("grid current at the rail", A(search.Burden.GridAmperes));
        table.Row("plate dissipation, most", W(search.Burden.PlateWatts));
        foreach (var line in table.Lines(ink)) yield return line;
        foreach (var binding in search.Binding) yield return binding.Says;
        if (search.Binding.Length == 0) yield return "No limit binds: within the ranges there are no better values.";
        yield return string.Create(CultureInfo.InvariantCulture, $"{search.Looked} combinations of values, {search.Solved} stages swept.");
        foreach (var remark in search.Remarks) yield return remark;
    }

    public static IEnumerable<string> Lines(BistablePairsView pairs, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(pairs);
        yield return ink.Strong($"{pairs.Bistable} of {pairs.LookedAt} pairs are bistable");
        var table = new TextTable(("pair", false), ("", false), ("margin", true), ("low", true), ("high", true));
        foreach (var pair in pairs.Pairs) table.Row(pair.First, pair.Second, V(pair.MarginVolts), V(pair.LowVolts), V(pair.HighVolts));
        if (pairs.Pairs.Length > 0) foreach (var line in table.Lines(ink)) yield return line;
        else yield return "None holds two states. Search other values: sweeprig logic search.";
        foreach (var remark in pairs.Remarks) yield return remark;
    }

    public static IEnumerable<string> Lines(CheckView check, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(check);
        yield return ink.Strong(check.Right
            ? $"{check.Gate}: right in all {check.Rows.Length} rows, margin {V(check.MarginVolts)}"
            : $"{check.Gate}: wrong in {check.Rows.Count(r => !r.Right)} of {check.Rows.Length} rows");
        var table = new TextTable([.. check.Inputs.Select(i => (i, false)), .. check.Signals.Select(s => (s, true)), ("margin", true), ("first to fail", false)]);
        foreach (var row in check.Rows)
        {
            table.Row([
                .. row.Inputs.Select(h => h ? "1" : "0"), .. row.Wanted.Select((w, at) => $"{(w ? "1" : "0")} {(row.Volts is { } volts ? V(volts[at]) : "no rest")}"),
                row.Right ? V(row.MarginVolts) : "wrong", row.FirstToFail ?? ""]);
        }
        foreach (var line in table.Lines(ink)) yield return line;
        yield return $"Inputs low at {V(check.LowVolts)}, high at {V(check.HighVolts)}; threshold {V(check.ThresholdVolts)}.";
        yield return $"Tubes: {string.Join(", ", check.Tubes.Select(t => $"{t.Position} {t.Number ?? "example"}"))}.";
        yield return $"Rails give at most {W(check.SupplyWatts)}, heaters {(check.HeaterWatts is { } heaters ? W(heaters) : "unknown, as a heater current is not known")}.";
        foreach (var remark in check.Remarks) yield return remark;
    }

    public static IEnumerable<string> Lines(YieldView view, int width, Ink ink)
    {
        ArgumentNullException.ThrowIfNull(view);
        yield return ink.Strong(string.Create(CultureInfo.InvariantCulture, $"{view.Gate}: {view.Good} of {view.Trials} right, {view.Share:P1} (95 % interval {view.Low:P1} to {view.High:P1})"));
        yield return "Worst distance from the threshold:";
        foreach (var line in HistogramText.Lines(view.Distances, "V", width)) yield return line;
        yield return $"Least {V(view.LeastDistance)}, median {V(view.MedianDistance)}.";
        yield return view.CornerSays;
        var table = new TextTable(("what the spread comes from", false), ("share", true), ("better", false));
        foreach (var weight in view.Weights) table.Row(weight.Part, weight.Share.ToString("P1", CultureInfo.InvariantCulture), weight.MoreIsBetter ? "when more" : "when less");
        foreach (var line in table.Lines(ink)) yield return line;
        foreach (var remark in view.Remarks) yield return remark;
    }

    private static string V(double? volts) => volts is not { } v || !double.IsFinite(v) ? "-" : Math.Abs(v) < 5e-4 ? "0 V" : Engineering.Format(v, "V", 3);

    private static string A(double amps) => Math.Abs(amps) < 1e-12 ? "0 A" : Engineering.Format(amps, "A", 3);

    private static string W(double? watts) => watts is { } w ? Engineering.Format(w, "W", 3) : "-";

    private static string R(double ohms) => Engineering.Format(ohms, "Ω", 3);
}
