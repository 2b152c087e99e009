using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Logic.Building;
using SweepRig.Logic.Drawing;
using SweepRig.Logic.Networks;
using SweepRig.Service.Contract;
using SweepRig.Service.Fits;
using SweepRig.Storage;

namespace SweepRig.Service.Logic;

/// <summary>Answers what it takes to build a gate of named tubes, or a network that is given as a document. Nothing is stored. Safe from any thread.</summary>
/// <param name="runs">Null where nothing was ever recorded.</param>
public sealed class BuildDesk(LogicTubes tubes, Workbench workbench, FittedTubes fitted, RunStore? runs)
{
    /// <summary>Drawn without being solved: a gate that does not work can be looked at too.</summary>
    /// <param name="request">Its gate and tubes are not looked at where there is a document.</param>
    /// <param name="document">Text of a network; null for the gate.</param>
    public async Task<Outcome<Schematic>> DrawAsync(GateRequest request, string? document, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        if (document is not null) return (await NetworkAsync(document, cancellation)).Map(network => PlainSchematic.Of(network));
        var (gate, chosen, faults) = await tubes.PlaceAsync(request, [], progress, cancellation);
        return chosen is null ? Outcome<Schematic>.Refuse(faults) : Outcome<Schematic>.Accept(GateSchematic.Of(gate!.Network, gate.Placed(chosen)));
    }

    /// <param name="request">Its gate and tubes are not looked at where there is a document.</param>
    /// <param name="document">Text of a network; null for the gate.</param>
    /// <returns>Refused when it is wrong with its nominal parts.</returns>
    public async Task<Outcome<PlannedBuild>> PlanAsync(BuildRequest request, string? document, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        var own = Faults(request);
        var tolerances = BuildTolerances.Usual with { Parts = ToleranceSettings.Of(request.Tolerances) };
        if (document is not null)
        {
            var network = await NetworkAsync(document, cancellation);
            if (!network.IsAccepted || own.Count > 0) return Outcome<PlannedBuild>.Refuse([.. network.Refusals, .. own]);
            return await workbench.RunAsync(() => Planned(BuildPlan.Of(network.Value, cancellation), "", []), cancellation);
        }
        var (gate, chosen, faults) = await tubes.PlaceAsync(request, own, progress, cancellation);
        if (chosen is null) return Outcome<PlannedBuild>.Refuse(faults);
        progress?.Invoke(new("Solving the circuit", 0, 1));
        return await workbench.RunAsync(() => Planned(BuildPlan.Of(gate!.Network, gate.Placed(chosen)), "/values", [.. LogicRemarks.Of(chosen, [])]), cancellation);

        Outcome<PlannedBuild> Planned(Outcome<BuildPlan> plan, string path, string[] remarks) => plan.IsAccepted
            ? Outcome<PlannedBuild>.Accept(new(plan.Value, tolerances, request.MeterOhms, remarks))
            : Outcome<PlannedBuild>.Refuse([.. plan.Refusals.Select(r => r with { Path = path })]);
    }

    /// <summary>What a meter is to show at every node in every row.</summary>
    public async Task<Outcome<TestVoltagesView>> VoltagesAsync(BuildRequest request, CancellationToken cancellation)
    {
        var planned = await PlanAsync(request, null, null, cancellation);
        return planned.Value is { } plan ? Outcome<TestVoltagesView>.Accept(await workbench.RunAsync(plan.Voltages, cancellation)) : Outcome<TestVoltagesView>.Refuse(planned.Refusals);
    }

    /// <summary>What explains the readings at a gate.</summary>
    public async Task<Outcome<BuildVerdictView>> JudgeAsync(BuildCheckRequest request, Action<LogicWorkView>? progress, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(request);
        var given = request.Readings ?? [];
        if (given.Length > ReadingsCsv.MostReadings)
            return Outcome<BuildVerdictView>.Refuse(new Refusal("too-many-readings", "/readings", $"{given.Length} readings", $"at most {ReadingsCsv.MostReadings} are held against a build", "Leave out what was in order."));
        var planned = await PlanAsync(request, null, progress, cancellation);
        if (planned.Value is not { } plan) return Outcome<BuildVerdictView>.Refuse(planned.Refusals);
        progress?.Invoke(new("Trying faults", 0, 1));
        return await workbench.RunAsync(() => plan.Judge([.. given.OfType<BuildReadingView>().Select(r => new BuildReading(r.Node, r.Row, r.Volts, r.MeterOhms ?? request.MeterOhms))], cancellation), cancellation);
    }

    private async Task<Outcome<Network>> NetworkAsync(string document, CancellationToken cancellation) =>
        NetworkDocument.Parse(document, await StockShelf.LoadAsync(runs, fitted, document, cancellation));

    private static List<Refusal> Faults(BuildRequest request)
    {
        var faults = new List<Refusal>();
        ToleranceSettings.Check(request.Tolerances ?? new(), faults);
        if (!(request.MeterOhms is >= BuildCheck.LeastMeterOhms and <= BuildCheck.MostMeterOhms))
        {
            faults.Add(new("meter-out-of-range", "/meterOhms", $"a meter of {Engineering.Format(request.MeterOhms, "Ω")}",
                $"{Engineering.Format(BuildCheck.LeastMeterOhms, "Ω")} to {Engineering.Format(BuildCheck.MostMeterOhms, "Ω")} is allowed", "Take its input resistance from its sheet; 10 MΩ is usual."));
        }
        return faults;
    }
}
