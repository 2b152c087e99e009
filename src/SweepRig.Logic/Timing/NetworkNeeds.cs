using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Timing;

/// <summary>Current into an input, from whatever drives it. Negative where it comes out. Unit: A.</summary>
/// <param name="LowAmps">Furthest from 0 of all rows in which it is low.</param>
/// <param name="HighAmps">Furthest from 0 of all rows in which it is high.</param>
public sealed record InputNeed(string Input, double LowAmps, double HighAmps);

/// <summary>What a network takes at rest: from its inputs, its rails and its heaters.</summary>
/// <param name="Inputs">One an input.</param>
/// <param name="PlateAmps">Most that the positive rail delivers in any row.</param>
/// <param name="BiasAmps">Most that flows back into the negative rail.</param>
/// <param name="MostWatts">Most that both rails deliver together.</param>
/// <param name="MeanWatts">Mean over all rows.</param>
/// <param name="HeaterAmps">Of all heaters in parallel whose current is known.</param>
/// <param name="HeaterWatts">Of the same.</param>
/// <param name="HeatersUnknown">Places whose tubes have no known heater current: what is said of heaters leaves them out.</param>
/// <param name="RowsWithoutRest">Rows in which the network did not come to rest, which are left out.</param>
public sealed record NetworkNeeds(
    IReadOnlyList<InputNeed> Inputs, double PlateAmps, double BiasAmps, double MostWatts, double MeanWatts, double HeaterAmps, double HeaterWatts, IReadOnlyList<string> HeatersUnknown, int RowsWithoutRest)
{
    /// <summary>Solves every row of the table.</summary>
    /// <param name="tube">For each place of <see cref="GateNetwork.Positions"/>.</param>
    /// <returns>Refused when a chain of its stages restores no levels, or no row comes to rest.</returns>
    public static Outcome<NetworkNeeds> Of(GateNetwork network, Func<string, TubePart> tube, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(tube);
        var restored = StageTransfer.Levels(network, p => tube(p) with { Number = null });
        if (restored.Value is not { } levels) return Outcome<NetworkNeeds>.Refuse(restored.Refusals);
        var values = new CircuitValues(Circuit.Of(GateWiring.Wire(network, tube, [.. network.Inputs.Select(_ => Waveform.Steady(0))])));
        var (settling, solver) = (new Settling(values), new DcSolver(values));
        var sources = values.Circuit.Network.Parts.OfType<Source>().Select((s, at) => (s.Name, at)).ToDictionary(s => s.Name, s => s.at, StringComparer.Ordinal);
        var points = new List<(bool[] Inputs, OperatingPoint Point)>();
        var restless = 0;
        foreach (var inputs in GateTable.InputPatterns(network))
        {
            foreach (var state in GateTable.States(network, inputs))
            {
                cancel.ThrowIfCancellationRequested();
                foreach (var (name, at) in network.Inputs.Select((name, at) => (name, at))) values.Sources[sources[name]] = Waveform.Steady(inputs[at] ? levels.High : levels.Low);
                if (settling.Run(WantedStart.Of(network, values, state, levels), 0) && solver.Solve(settling.Volts) is { } point) points.Add((inputs, point));
                else restless++;
            }
        }
        if (points.Count == 0) return Outcome<NetworkNeeds>.Refuse(new Refusal("no-rest", "", $"{network.Name} comes to rest in none of its rows", "what it takes is told at rest", "Check its table with its tubes first."));
        double Amps(OperatingPoint point, string source) => point.SourceAmps[sources[source]];
        double Watts(OperatingPoint point) => network.Rails.Plate * Amps(point, "Eplate") + network.Rails.Bias * Amps(point, "Ebias");
        var parts = values.Circuit.Network.Tubes.ToList();
        return Outcome<NetworkNeeds>.Accept(new(
            [.. network.Inputs.Select((name, at) => new InputNeed(name, Furthest(name, at, false), Furthest(name, at, true)))],
            points.Max(p => Amps(p.Point, "Eplate")), points.Max(p => -Amps(p.Point, "Ebias")), points.Max(p => Watts(p.Point)), points.Average(p => Watts(p.Point)),
            parts.Sum(t => t.HeaterAmps ?? 0), parts.Sum(t => (t.HeaterAmps ?? 0) * t.HeaterVolts), [.. parts.Where(t => t.HeaterAmps is null).Select(t => t.Name)], restless));

        double Furthest(string name, int at, bool high) =>
            points.Where(p => p.Inputs[at] == high).Select(p => Amps(p.Point, name)).DefaultIfEmpty(0).MaxBy(Math.Abs);
    }
}
