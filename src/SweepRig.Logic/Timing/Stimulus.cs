using SweepRig.Logic.Gates;

namespace SweepRig.Logic.Timing;

/// <summary>An input that goes high and low again, from a state of rest.</summary>
/// <param name="Low">All inputs before and after.</param>
/// <param name="High">All inputs in between.</param>
/// <param name="Start">State in which it begins.</param>
/// <param name="Edges">What the output answers by the rules of the gates: the input rises, the output rises.</param>
internal sealed record Stimulus(IReadOnlyList<bool> Low, IReadOnlyList<bool> High, IReadOnlyDictionary<string, bool> Start, IReadOnlyList<(bool CauseRises, bool EffectRises)> Edges)
{
    private const int MostOthers = 6;

    /// <returns>One for each state in which the network can rest, those first in which the output answers most.</returns>
    /// <exception cref="ArgumentException">The network has no such input.</exception>
    public static IReadOnlyList<Stimulus> Of(GateNetwork network, string input, string output, IReadOnlyList<bool> others)
    {
        var at = network.Inputs.ToList().IndexOf(input);
        if (at < 0) throw new ArgumentException($"{network.Name} has no input {input}.", nameof(input));
        bool[] low = [.. others], high = [.. others];
        (low[at], high[at]) = (false, true);
        return [.. GateTable.States(network, low).Select(start => new Stimulus(low, high, start, EdgesFrom(network, output, start, low, high))).OrderByDescending(s => s.Edges.Count)];
    }

    /// <summary>As few as show every edge with which the output can answer, with whatever the other inputs have to be for it.</summary>
    /// <returns>Empty when it never answers; of many inputs only all low and all high are tried.</returns>
    public static IReadOnlyList<Stimulus> Covering(GateNetwork network, string input, string output)
    {
        var patterns = network.Inputs.Count <= MostOthers ? GateTable.InputPatterns(network) : [new bool[network.Inputs.Count], [.. network.Inputs.Select(_ => true)]];
        var (chosen, shown) = (new List<Stimulus>(), new HashSet<(bool, bool)>());
        foreach (var stimulus in patterns.SelectMany(p => Of(network, input, output, p)).OrderByDescending(s => s.Edges.Count))
        {
            if (stimulus.Edges.All(shown.Contains)) continue;
            chosen.Add(stimulus);
            shown.UnionWith(stimulus.Edges);
        }
        return chosen;
    }

    private static List<(bool, bool)> EdgesFrom(GateNetwork network, string output, IReadOnlyDictionary<string, bool> start, bool[] low, bool[] high)
    {
        var edges = new List<(bool, bool)>();
        if (SequenceTable.Next(network, start, high) is not { } up || SequenceTable.Next(network, up, low) is not { } down) return edges;
        if (start[output] != up[output]) edges.Add((true, up[output]));
        if (up[output] != down[output]) edges.Add((false, down[output]));
        return edges;
    }
}
