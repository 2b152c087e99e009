using SweepRig.Domain;
using SweepRig.Logic.Building;
using SweepRig.Service.Contract;
using SweepRig.Service.Reports;
using SweepRig.Service.Reports.Logic;

namespace SweepRig.Service.Logic;

/// <summary>A build that was asked about, with every row solved.</summary>
/// <param name="Remarks">What must be known beside its figures.</param>
public sealed record PlannedBuild(BuildPlan Plan, BuildTolerances Tolerances, double MeterOhms, IReadOnlyList<string> Remarks)
{
    public Report Report(DateTimeOffset madeUtc) => BuildReport.Of(Plan, Tolerances, MeterOhms, madeUtc);

    public PartsView Parts()
    {
        var list = PartsList.Of(Plan, Tolerances);
        return new(
            Plan.Network.Name,
            [.. list.Tubes.Select(t => new PartsTubeView(t.Position, t.Number, t.TypeName, t.IsTriode ? "triode" : "pentode", t.HeaterVolts, t.HeaterAmps, t.MostCathodeAmps, t.MostPlateWatts))],
            [.. list.Resistors.Select(r => new PartsResistorView(r.Ohms, r.Series?.ToString(), r.Names.Count, [.. r.Names], r.MostWatts, r.RatedWatts))],
            Others(list.Capacitors), Others(list.Diodes), [.. list.Rails.Select(r => new PartsSupplyView(r.Node, r.Volts, r.MostAmps, r.MostWatts))],
            list.HeaterAmps, list.HeaterWatts, [.. list.HeatersUnknown], PartsList.SafetyFactor, [.. Remarks]);
    }

    public TestVoltagesView Voltages()
    {
        var read = TestVoltages.Of(Plan, Tolerances, MeterOhms).ToLookup(v => v.Row, StringComparer.Ordinal);
        return new(
            Plan.Network.Name, MeterOhms,
            [.. Plan.Rows.Select(r => new TestRowView(r.Name, [.. r.Set.Select(s => new InputSetView(s.Key, s.Value))], [.. read[r.Name].Select(v => new TestNodeView(v.Node, v.ReadVolts, v.Tolerance))]))], [.. Remarks]);
    }

    /// <returns>Refused with every reading that cannot be one.</returns>
    public Outcome<BuildVerdictView> Judge(IReadOnlyList<BuildReading> readings, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(readings);
        return BuildCheck.Run(Plan, readings, [], Tolerances, cancellation).Map(v => new BuildVerdictView(
            Plan.Network.Name, readings.Count, v.IsSound, v.IsExplained, [.. v.Explanations.Select(e => new FaultView(e.Fault.Part, e.Fault.Says, e.Fault.Look, e.Misfit, e.Share))], v.Looked,
            [.. v.Next.Select(n => new ReadNextView(n.Node, n.Row, n.MeterOhms, [.. n.Expected.Select(e => new ExpectedView(e.Fault.Says, e.Expected))]))], [.. v.Says]));
    }

    private static PartsOtherView[] Others(IReadOnlyList<ListedOthers> others) => [.. others.Select(o => new PartsOtherView(o.Kind, o.Names.Count, [.. o.Names], o.MostVolts, o.RatedVolts))];
}
