using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Gates;

/// <summary>A tube for a place in a network of gates.</summary>
/// <param name="Position">As in <see cref="GateNetwork.Positions"/>.</param>
/// <param name="Part">With its model and number; name and leads are put in by the wiring.</param>
public sealed record PlacedTube(string Position, TubePart Part);

/// <summary>Makes the parts of a network of gates: every resistor, capacitor, source and tube.</summary>
public static class GateWiring
{
    /// <summary>Nodes of the rails.</summary>
    public const string PlateRail = "plate_rail", BiasRail = "bias_rail", ScreenRail = "screen_rail";

    /// <param name="tube">The tube for each place.</param>
    /// <param name="inputs">Voltage of each input, held by a source.</param>
    /// <param name="noise">Voltage put in series with each input of each gate, by gate and place of the input; null for none.</param>
    /// <exception cref="ArgumentException">A steer leads to no divider.</exception>
    public static Network Wire(GateNetwork network, Func<string, TubePart> tube, IReadOnlyList<Waveform> inputs, Func<Gate, int, double>? noise = null)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(tube);
        ArgumentNullException.ThrowIfNull(inputs);
        List<Part> parts =
        [
            new Source("Eplate", PlateRail, Network.Ground, Waveform.Steady(network.Rails.Plate)),
            new Source("Ebias", BiasRail, Network.Ground, Waveform.Steady(network.Rails.Bias)),
            .. network.Rails.Screen is { } screens && TakesScreenRail(network) ? (Part[])[new Source("Escreen", ScreenRail, Network.Ground, Waveform.Steady(screens))] : [],
            .. network.Inputs.Select((name, at) => new Source(name, name, Network.Ground, inputs[at])),
        ];
        foreach (var gate in network.Gates)
        {
            var from = gate.Inputs.Select((input, at) => noise is null ? input : Noisy(parts, gate, at, noise(gate, at))).ToList();
            Stage(parts, gate, from, network.Rails.Screen is null ? PlateRail : ScreenRail, tube);
        }
        SteerWiring.Add(network, parts);
        return new(network.Name, parts);
    }

    /// <summary>Whether any stage has a screen that a supply feeds.</summary>
    internal static bool TakesScreenRail(GateNetwork network) => network.Gates.Any(g => g.Kind is GateKind.Nor or GateKind.NorAtGrid or GateKind.NandAtGrid && !g.Values.IsTriode);

    private static string Noisy(List<Part> parts, Gate gate, int at, double volts)
    {
        var node = $"{gate.Output}_n{at + 1}";
        parts.Add(new Source($"N_{gate.Output}_{at + 1}", node, gate.Inputs[at], Waveform.Steady(volts)));
        return node;
    }

    private static void Stage(List<Part> parts, Gate gate, List<string> from, string screens, Func<string, TubePart> tube)
    {
        var (output, values) = (gate.Output, gate.Values);
        switch (gate.Kind)
        {
            case GateKind.Nor:
                parts.Add(new Resistor($"Rp_{output}", PlateRail, output, values.PlateOhms));
                for (var n = 0; n < from.Count; n++)
                {
                    var grid = Divider(parts, gate, $"{output}_{n + 1}", [from[n]]);
                    Tube(parts, gate, n + 1, grid, Screen(parts, gate, n + 1, screens), tube);
                }
                break;
            case GateKind.NorAtGrid or GateKind.NandAtGrid:
                parts.Add(new Resistor($"Rp_{output}", PlateRail, output, values.PlateOhms));
                Tube(parts, gate, 1, Divider(parts, gate, output, from), Screen(parts, gate, 1, screens), tube);
                break;
            case GateKind.NandAtScreen:
                parts.Add(new Resistor($"Rp_{output}", PlateRail, output, values.PlateOhms));
                parts.Add(new Resistor($"Rs_{output}", from[1], $"s_{output}", values.ScreenOhms));
                Tube(parts, gate, 1, Divider(parts, gate, output, [from[0]]), $"s_{output}", tube);
                break;
            case GateKind.Follower:
                parts.Add(new Resistor($"Rg_{output}", from[0], $"g_{output}", values.StopperOhms));
                parts.Add(new Resistor($"Rk_{output}", output, BiasRail, values.CathodeOhms));
                var placed = tube($"V_{output}_1");
                parts.Add(placed with { Name = $"V_{output}_1", Plate = PlateRail, Screen = PlateRail, Grid = $"g_{output}", Cathode = output });
                break;
        }
    }

    /// <summary>Upper resistors from every input to one middle, one lower resistor to the bias, stopper to the grid.</summary>
    /// <returns>The node of the grid.</returns>
    private static string Divider(List<Part> parts, Gate gate, string label, List<string> from)
    {
        var values = gate.Values;
        for (var n = 0; n < from.Count; n++)
        {
            var name = from.Count == 1 ? label : $"{label}_{n + 1}";
            parts.Add(new Resistor($"Ra_{name}", from[n], $"m_{label}", values.UpperOhms));
            if (values.SpeedUpFarads > 0) parts.Add(new Capacitor($"Ca_{name}", from[n], $"m_{label}", values.SpeedUpFarads));
        }
        parts.Add(new Resistor($"Rb_{label}", $"m_{label}", BiasRail, values.LowerOhms));
        parts.Add(new Resistor($"Rg_{label}", $"m_{label}", $"g_{label}", values.StopperOhms));
        return $"g_{label}";
    }

    private static string Screen(List<Part> parts, Gate gate, int number, string screens)
    {
        if (gate.Values.IsTriode) return gate.Output;
        var node = $"s_{gate.Output}_{number}";
        parts.Add(new Resistor($"Rs_{gate.Output}_{number}", screens, node, gate.Values.ScreenOhms));
        return node;
    }

    private static void Tube(List<Part> parts, Gate gate, int number, string grid, string screen, Func<string, TubePart> tube)
    {
        var position = $"V_{gate.Output}_{number}";
        parts.Add(tube(position) with { Name = position, Plate = gate.Output, Screen = screen, Grid = grid, Cathode = Network.Ground });
    }
}
