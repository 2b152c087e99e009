using System.Globalization;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Building;

namespace SweepRig.Service.Reports.Logic;

/// <summary>Tables of a build: tubes, resistors and the rest, supplies, readings.</summary>
internal static class BuildParts
{
    private const int RowsATable = 4;

    public static ReportSection Tubes(PartsList list) => new("Tubes", [],
    [
        new("", ["place", "number", "type", "connection", "heater", "cathode, most", "plate, most"],
            [.. list.Tubes.Select(t => (string[])
            [
                t.Position, t.Number ?? "not of the stock", t.TypeName ?? "?", t.IsTriode ? "triode" : "pentode", t.HeaterAmps is { } amps ? Engineering.Format(amps, "A", 3) : "not known",
                Engineering.Format(t.MostCathodeAmps, "A", 3), Engineering.Format(t.MostPlateWatts, "W", 2),
            ])]) { Words = 4 },
    ], []);

    public static ReportSection Others(PartsList list, BuildTolerances tolerances)
    {
        List<ReportTable> tables =
        [
            new("", ["resistor", "series", "tolerance", "count", "bears", "rated", "safety"],
                [.. list.Resistors.Select(r => (string[])
                [
                    Engineering.Format(r.Ohms, "Ω", 3), r.Series?.ToString() ?? "none", BuildReport.Percent(tolerances.Parts.ResistorTolerance), $"{r.Names.Count}", Engineering.Format(r.MostWatts, "W", 2),
                    r.RatedWatts is { } rated ? Engineering.Format(rated, "W", 3) : "above 10 W", r.Safety is { } safety ? Safety(safety) : "",
                ])]) { Words = 3 },
        ];
        foreach (var (name, parts) in new[] { ("capacitor", list.Capacitors), ("diode", list.Diodes) })
        {
            if (parts.Count > 0)
                tables.Add(new("", [name, "count", "bears", "rated"], [.. parts.Select(c => (string[])[c.Kind, $"{c.Names.Count}", Engineering.Format(c.MostVolts, "V", 3), Engineering.Format(c.RatedVolts, "V", 3)])]) { Words = 1 });
        }
        tables.Add(new("Which is which", [], [.. list.Resistors.Select(r => (string[])[Engineering.Format(r.Ohms, "Ω", 3), string.Join(", ", r.Names)]), .. list.Capacitors.Concat(list.Diodes).Select(c => (string[])[c.Kind, string.Join(", ", c.Names)])]));
        return new("Resistors and the rest", [], tables, ["What each bears is its worst row, with rails and resistors at the adverse end of their tolerance; rated at least twice that."]);
    }

    public static ReportSection Supplies(PartsList list) => new("Supplies", [],
    [
        new("", ["supply", "volts", "current, most", "power, most"],
        [
            .. list.Rails.Select(r => (string[])[r.Node.Replace('_', ' '), Number(r.Volts), Engineering.Format(Math.Abs(r.MostAmps), "A", 3), Engineering.Format(Math.Max(0, r.MostWatts), "W", 3)]),
            ["heaters", string.Join(", ", list.Tubes.Select(t => t.HeaterVolts).Distinct().Order().Select(Number)), Engineering.Format(list.HeaterAmps, "A", 3), Engineering.Format(list.HeaterWatts, "W", 3)],
        ]) { Words = 1 },
    ], list.HeatersUnknown.Count == 0 ? [] : [$"The heater current of {string.Join(", ", list.HeatersUnknown)} is not known and not in the sum."]);

    /// <summary>Nodes below each other, rows of the network beside each other, four at most to a table.</summary>
    public static IEnumerable<ReportTable> Readings(IReadOnlyList<TestVoltage> readings, string[] rows, double meterOhms)
    {
        if (readings.Count == 0) yield break;
        var at = readings.ToDictionary(r => (r.Node, r.Row));
        string[] nodes = [.. readings.Select(r => r.Node).Distinct()];
        foreach (var some in rows.Chunk(RowsATable))
        {
            yield return new($"Volts that a meter of {Engineering.Format(meterOhms, "Ω", 3)} shows against ground", ["node", .. some],
                [.. nodes.Select(n => (string[])[n, .. some.Select(r => at.TryGetValue((n, r), out var v) ? Reading(v) : "")])]) { Words = 1 };
        }
    }

    private static string Reading(TestVoltage voltage)
    {
        var form = "0." + new string('0', TestVoltages.Decimals(voltage.Tolerance));
        return $"{voltage.ReadVolts.ToString(form, CultureInfo.InvariantCulture)} ± {voltage.Tolerance.ToString(form, CultureInfo.InvariantCulture)}".Replace('-', '−');
    }

    private static string Safety(double times) => times >= 100 ? "over 100" : Engineering.Figure(times, "1", 2);

    private static string Number(double volts) => Engineering.Figure(volts, "1", 4).Replace('-', '−');
}
