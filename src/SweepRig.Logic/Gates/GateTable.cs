namespace SweepRig.Logic.Gates;

/// <summary>What the signals of a network are to be, by the rules of its gates alone. What edges do is told by <see cref="SequenceTable"/>.</summary>
public static class GateTable
{
    /// <summary>Most signals that feed back; each doubles the patterns to try.</summary>
    public const int MostFedBack = 12;

    /// <summary>Every pattern of all signals that agrees with itself for given inputs: one for a network without feedback, several for one that stores, none for one that cannot rest.</summary>
    /// <param name="inputs">In the order of <see cref="GateNetwork.Inputs"/>.</param>
    /// <exception cref="ArgumentException">Not one value an input, or more feedback than can be tried.</exception>
    public static IReadOnlyList<IReadOnlyDictionary<string, bool>> States(GateNetwork network, IReadOnlyList<bool> inputs)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(inputs);
        if (inputs.Count != network.Inputs.Count) throw new ArgumentException($"Given are {inputs.Count} inputs; {network.Name} has {network.Inputs.Count}.", nameof(inputs));
        var fedBack = FedBack(network);
        if (fedBack.Count > MostFedBack) throw new ArgumentException($"{network.Name} feeds {fedBack.Count} signals back; at most {MostFedBack} can be tried.", nameof(network));
        var states = new List<IReadOnlyDictionary<string, bool>>();
        for (var pattern = 0; pattern < 1 << fedBack.Count; pattern++)
        {
            var known = new Dictionary<string, bool>(StringComparer.Ordinal);
            for (var i = 0; i < inputs.Count; i++) known[network.Inputs[i]] = inputs[i];
            for (var i = 0; i < fedBack.Count; i++) known[fedBack[i].Output] = (pattern >> i & 1) == 1;
            Follow(network, known);
            if (network.Gates.All(g => known[g.Output] == g.Wanted([.. g.Inputs.Select(i => known[i])]))) states.Add(known);
        }
        return states;
    }

    /// <summary>All patterns of the inputs, the first input changing slowest.</summary>
    public static IEnumerable<bool[]> InputPatterns(GateNetwork network)
    {
        ArgumentNullException.ThrowIfNull(network);
        var count = network.Inputs.Count;
        for (var pattern = 0; pattern < 1 << count; pattern++) yield return [.. Enumerable.Range(0, count).Select(i => (pattern >> (count - 1 - i) & 1) == 1)];
    }

    /// <summary>Signals of gates that a gate hangs on, near or far; its own among them when it stands in a loop.</summary>
    /// <param name="makers">Every gate by its signal.</param>
    public static IReadOnlySet<string> Before(Gate gate, IReadOnlyDictionary<string, Gate> makers)
    {
        ArgumentNullException.ThrowIfNull(gate);
        ArgumentNullException.ThrowIfNull(makers);
        var seen = new HashSet<string>(StringComparer.Ordinal);
        var open = new Stack<Gate>([gate]);
        while (open.TryPop(out var next))
        {
            foreach (var input in next.Inputs)
                if (makers.TryGetValue(input, out var maker) && seen.Add(input)) open.Push(maker);
        }
        return seen;
    }

    /// <summary>Signals of the gates that stand in loops: they hold a state, and can leave it.</summary>
    internal static IReadOnlySet<string> Storing(GateNetwork network)
    {
        var makers = network.Gates.ToDictionary(g => g.Output, StringComparer.Ordinal);
        return network.Gates.Where(g => Before(g, makers).Contains(g.Output)).Select(g => g.Output).ToHashSet(StringComparer.Ordinal);
    }

    /// <summary>Gates whose signals have to be guessed so that all others follow: those met again on a walk against the signals.</summary>
    internal static IReadOnlyList<Gate> FedBack(GateNetwork network)
    {
        var makers = network.Gates.ToDictionary(g => g.Output, StringComparer.Ordinal);
        var (done, open, cut) = (new HashSet<string>(StringComparer.Ordinal), new HashSet<string>(StringComparer.Ordinal), new List<Gate>());
        foreach (var gate in network.Gates) Walk(gate);
        return cut;

        void Walk(Gate gate)
        {
            if (done.Contains(gate.Output)) return;
            if (!open.Add(gate.Output))
            {
                if (!cut.Contains(gate)) cut.Add(gate);
                return;
            }
            foreach (var input in gate.Inputs)
                if (makers.TryGetValue(input, out var maker)) Walk(maker);
            open.Remove(gate.Output);
            done.Add(gate.Output);
        }
    }

    private static void Follow(GateNetwork network, Dictionary<string, bool> known)
    {
        for (var found = true; found;)
        {
            found = false;
            foreach (var gate in network.Gates)
            {
                if (known.ContainsKey(gate.Output) || !gate.Inputs.All(known.ContainsKey)) continue;
                known[gate.Output] = gate.Wanted([.. gate.Inputs.Select(i => known[i])]);
                found = true;
            }
        }
    }
}
