using SweepRig.Domain.Quantities;
using SweepRig.Logic.Building;
using SweepRig.Logic.Drawing;
using SweepRig.Logic.Networks;
using SweepRig.Service.Cli.Rendering;
using SweepRig.Service.Hosting;

namespace SweepRig.Service.Reports.Logic;

/// <summary>What goes to the bench with a network: cautions, schematic, parts with their numbers, and what to do in which order with what each meter reading is to be.</summary>
public static class BuildReport
{
    // Small enough that a portrait page shows every word.
    private const int TubesARow = 2, RowsASheet = 2, PlainWidth = 620;

    /// <summary>Pure: the same build gives the same report.</summary>
    /// <param name="meterOhms">Input resistance of the meter that the readings are for.</param>
    public static Report Of(BuildPlan plan, BuildTolerances tolerances, double meterOhms, DateTimeOffset madeUtc)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(tolerances);
        var (list, checklist) = (PartsList.Of(plan, tolerances), BuildChecklist.Of(plan, tolerances, meterOhms));
        var tubes = $"{list.Tubes.Count} tube{(list.Tubes.Count == 1 ? "" : "s")}";
        return new(
            $"Build of {plan.Network.Name}",
            $"{tubes} on {string.Join(" and ", list.Rails.Select(r => Volts(r.Volts)))}, heaters {string.Join(" and ", list.Tubes.Select(t => t.HeaterVolts).Distinct().Order().Select(v => Engineering.Format(v, "V", 3)))}",
            [
                new("Before you begin", [], [], checklist.Cautions),
                BuildParts.Tubes(list),
                BuildParts.Others(list, tolerances),
                BuildParts.Supplies(list),
                new("Schematic", [], [], ["Lines that cross are not joined; a dot joins them. Heaters are not drawn."]) { Drawings = Drawings(plan) },
                .. checklist.Steps.Select((s, at) => Step(s, at + 1, checklist.MeterOhms)),
            ],
            $"SweepRig {BenchServices.SoftwareVersion} · build of {plan.Network.Name} · {RunText.Time(madeUtc)} · {tubes} · resistors within {Percent(tolerances.Parts.ResistorTolerance)}, rails within {Percent(tolerances.Parts.RailTolerance)}");
    }

    internal static string Percent(double share) => $"{Engineering.Figure(share * 100, "1", 3)} %";

    private static IReadOnlyList<Schematic> Drawings(BuildPlan plan) => plan.Gates is { } gates
        ? GateSchematic.Sheets(gates, position => plan.Network.Tubes.First(t => t.Name == position), null, TubesARow, RowsASheet)
        : [PlainSchematic.Of(plan.Network, width: PlainWidth)];

    private static ReportSection Step(BuildStep step, int number, double meterOhms)
    {
        List<ReportTable> tables = [];
        if (step.Parts.Count > 0) tables.Add(new("", [], [["fit", string.Join(", ", step.Parts.Select(Named))]]));
        tables.AddRange(BuildParts.Readings(step.Readings, [.. step.Readings.Select(r => r.Row).Distinct()], meterOhms));
        return new($"{number}. {step.Title}", [], tables, []) { Lead = step.Text };
    }

    // A name and its value stay on one line.
    private static string Named(Part part) => Text(part).Replace(' ', '\u00A0');

    private static string Text(Part part) => part switch
    {
        TubePart { Number: { } number } t => $"{t.Name} ({number})",
        Resistor r => $"{r.Name} {Engineering.Format(r.Ohms, "Ω", 3)}",
        Capacitor c => $"{c.Name} {Engineering.Format(c.Farads, "F", 3)}",
        _ => part.Name,
    };

    private static string Volts(double volts) => Engineering.Format(volts, "V", 4).Replace('-', '−');
}
