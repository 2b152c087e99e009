namespace SweepRig.Logic.Gates;

/// <summary>What a network that stores does when its inputs change, by the rules of its gates and edges alone.</summary>
/// <remarks>
/// Levels count as they were before the edge: the steering capacitors remember them for longer than the gates take. While the edge lasts the inputs it reaches are low; then the
/// gates go on by themselves. Signals that fall on the way are edges too, so that counters carry on from stage to stage.
/// </remarks>
public static class SequenceTable
{
    private const int MostEdges = 64;

    /// <param name="state">Of every signal, before.</param>
    /// <param name="inputs">From now on, in the order of <see cref="GateNetwork.Inputs"/>.</param>
    /// <returns>Every signal once all has come to rest; null when it does not.</returns>
    /// <exception cref="ArgumentException">Not one value an input, or a state that lacks a signal.</exception>
    public static IReadOnlyDictionary<string, bool>? Next(GateNetwork network, IReadOnlyDictionary<string, bool> state, IReadOnlyList<bool> inputs)
    {
        ArgumentNullException.ThrowIfNull(network);
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(inputs);
        if (inputs.Count != network.Inputs.Count) throw new ArgumentException($"Given are {inputs.Count} inputs; {network.Name} has {network.Inputs.Count}.", nameof(inputs));
        if (network.Gates.Select(g => g.Output).FirstOrDefault(s => !state.ContainsKey(s)) is { } lacking) throw new ArgumentException($"The state does not say what {lacking} is.", nameof(state));
        var before = new Dictionary<string, bool>(state, StringComparer.Ordinal);
        var now = new Dictionary<string, bool>(state, StringComparer.Ordinal);
        for (var i = 0; i < inputs.Count; i++) now[network.Inputs[i]] = inputs[i];
        if (!Relax(network, now, [])) return null;
        for (var edges = 0; edges < MostEdges; edges++)
        {
            var passing = network.Steers.Where(s => before[s.Trigger] && !now[s.Trigger] && (s.Place == SteerPlace.Plate ? before[s.Target] : !before[s.Level!])).ToList();
            before = new(now, StringComparer.Ordinal);
            if (passing.Count == 0) return now;
            if (!Relax(network, now, passing) || !Relax(network, now, [])) return null;
        }
        return null;
    }

    private static bool Relax(GateNetwork network, Dictionary<string, bool> now, List<Steer> forced)
    {
        for (var round = 0; round < 2 * network.Gates.Count + 4; round++)
        {
            var still = true;
            // Gates at which an edge arrives go first: it is there before their neighbours have moved.
            foreach (var gate in network.Gates.OrderBy(g => forced.Any(f => f.Target == g.Output) ? 0 : 1))
            {
                var wanted = Forced(gate, now, forced);
                if (now[gate.Output] == wanted) continue;
                now[gate.Output] = wanted;
                still = false;
            }
            if (still) return true;
        }
        return false;
    }

    private static bool Forced(Gate gate, Dictionary<string, bool> now, List<Steer> forced)
    {
        var here = forced.Where(f => f.Target == gate.Output).ToList();
        if (here.Any(f => f.Place == SteerPlace.Plate)) return false;
        // One tube for all inputs: cut off is cut off.
        if (here.Count > 0 && gate.Kind != GateKind.Nor) return true;
        return gate.Wanted([.. gate.Inputs.Select((input, at) => now[input] && !here.Any(f => f.Input == at + 1))]);
    }
}
