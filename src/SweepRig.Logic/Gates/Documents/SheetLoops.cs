using SweepRig.Domain;

namespace SweepRig.Logic.Gates.Documents;

/// <summary>Finds loops of gates that are no latch: those that turn their own signal over and so cannot rest, and those in which nothing amplifies.</summary>
internal static class SheetLoops
{
    public static void Find(GateNetwork network, List<Refusal> faults)
    {
        var makers = network.Gates.ToDictionary(g => g.Output, StringComparer.Ordinal);
        foreach (var loop in Loops(network, makers))
        {
            var names = string.Join(", ", loop.Select(g => g.Output));
            if (loop.All(g => g.Kind == GateKind.Follower))
            {
                faults.Add(new("loop-without-gain", "", $"the loop through {names} is made of followers alone", "a loop keeps a level only if something in it amplifies", "Put two inverters into it, or open it."));
            }
            else if (TurnsOver(loop, makers) && Restless(network) is { } when)
            {
                faults.Add(new("loop-no-latch", "", $"the loop through {names} turns its own signal over and does not rest{when}", "a loop stores when an even number of its gates invert", "Put an inverter in, take one out, or open the loop."));
            }
        }
    }

    // Gates that reach each other (Tarjan's components, here by plain reachability: sheets are small).
    private static List<List<Gate>> Loops(GateNetwork network, Dictionary<string, Gate> makers)
    {
        var reach = network.Gates.ToDictionary(g => g.Output, g => GateTable.Before(g, makers), StringComparer.Ordinal);
        var (loops, done) = (new List<List<Gate>>(), new HashSet<string>(StringComparer.Ordinal));
        foreach (var gate in network.Gates)
        {
            if (!reach[gate.Output].Contains(gate.Output) || !done.Add(gate.Output)) continue;
            List<Gate> loop = [.. network.Gates.Where(g => reach[gate.Output].Contains(g.Output) && reach[g.Output].Contains(gate.Output))];
            foreach (var other in loop) done.Add(other.Output);
            loops.Add(loop);
        }
        return loops;
    }

    // Each signal is given a side so that inverting gates change it; where that cannot be done a way round inverts an odd number of times.
    private static bool TurnsOver(List<Gate> loop, Dictionary<string, Gate> makers)
    {
        var inside = loop.Select(g => g.Output).ToHashSet(StringComparer.Ordinal);
        var side = new Dictionary<string, bool>(StringComparer.Ordinal) { [loop[0].Output] = true };
        var open = new Stack<string>([loop[0].Output]);
        while (open.TryPop(out var signal))
        {
            var inverts = makers[signal].Kind != GateKind.Follower;
            foreach (var input in makers[signal].Inputs.Where(inside.Contains))
            {
                var wanted = side[signal] != inverts;
                if (side.TryGetValue(input, out var has))
                {
                    if (has != wanted) return true;
                }
                else
                {
                    side[input] = wanted;
                    open.Push(input);
                }
            }
        }
        return false;
    }

    private static string? Restless(GateNetwork network)
    {
        if (GateTable.FedBack(network).Count > GateTable.MostFedBack || network.Inputs.Count > GateTable.MostFedBack) return "";
        foreach (var inputs in GateTable.InputPatterns(network))
        {
            if (GateTable.States(network, inputs).Count > 0) continue;
            return network.Inputs.Count == 0 ? "" : $" with {string.Join(", ", network.Inputs.Select((name, at) => $"{name} {(inputs[at] ? "high" : "low")}"))}";
        }
        return null;
    }
}
