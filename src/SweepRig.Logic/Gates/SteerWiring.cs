using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Gates;

/// <summary>Makes the parts of steering networks and loads.</summary>
internal static class SteerWiring
{
    public static void Add(GateNetwork network, List<Part> parts)
    {
        foreach (var (steer, label) in Labels(network))
        {
            var node = $"t_{label}";
            parts.Add(new Capacitor($"Ct_{label}", steer.Trigger, node, steer.Values.Farads));
            parts.Add(new Resistor($"Rt_{label}", steer.Level ?? GateWiring.PlateRail, node, steer.Values.Ohms));
            parts.Add(new Diode($"Dt_{label}", Anode(network, steer), node));
        }
        foreach (var (load, at) in network.Loads.Select((load, at) => (load, at + 1)))
        {
            var end = load.To switch { LoadEnd.Plate => GateWiring.PlateRail, LoadEnd.Bias => GateWiring.BiasRail, _ => Network.Ground };
            if (load.Ohms is { } ohms) parts.Add(new Resistor($"Rl_{at}", load.Signal, end, ohms));
            if (load.Farads > 0) parts.Add(new Capacitor($"Cl_{at}", load.Signal, end, load.Farads));
        }
    }

    /// <summary>Every steer with what its parts are named by.</summary>
    public static IEnumerable<(Steer Steer, string Label)> Labels(GateNetwork network)
    {
        var count = new Dictionary<string, int>(StringComparer.Ordinal);
        foreach (var steer in network.Steers) yield return (steer, $"{steer.Target}_{count[steer.Target] = count.GetValueOrDefault(steer.Target) + 1}");
    }

    private static string Anode(GateNetwork network, Steer steer)
    {
        if (steer.Place == SteerPlace.Plate) return steer.Target;
        var gate = network.Gates.FirstOrDefault(g => g.Output == steer.Target);
        if (gate is null || gate.Kind == GateKind.Follower || steer.Input < 1 || steer.Input > gate.Inputs.Count)
            throw new ArgumentException($"The edge of {steer.Trigger} is led to input {steer.Input} of {steer.Target}, which is no divider of a gate. Name an input of a gate that inverts.", nameof(steer));
        return gate.Kind == GateKind.Nor ? $"m_{gate.Output}_{steer.Input}" : $"m_{gate.Output}";
    }
}
