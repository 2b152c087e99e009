using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Solving;

/// <summary>
/// A network made ready for solving: numbered nodes, the places of each part in the equations, and the order of elimination. Immutable; the values that may
/// change from trial to trial are in <see cref="CircuitValues"/>, so that thousands of them share one circuit.
/// </summary>
/// <remarks>
/// Modified nodal analysis (Ho, Ruehli, Brennan 1975, IEEE Trans. CAS 22, 504, from memory). Unknown are the voltages of the nodes that no source holds, and
/// the currents of the sources between two such nodes. Nodes held by sources from ground are known and leave the equations.
/// </remarks>
public sealed class Circuit
{
    private readonly Dictionary<string, int> _nodeOf;

    private Circuit(Network network, string[] nodes, int[] unknown, HeldNode[] held, BranchSource[] branches)
    {
        Network = network;
        Nodes = nodes;
        UnknownOf = unknown;
        Held = held;
        Branches = branches;
        _nodeOf = nodes.Select((name, at) => (name, at)).ToDictionary(n => n.name, n => n.at, StringComparer.Ordinal);
        Unknowns = unknown.Count(u => u >= 0) + branches.Length;
        Resistors = [.. Ends(network.Parts.OfType<Resistor>(), r => (r.A, r.B))];
        Capacitors = [.. Ends(CapacitorsOf(network), c => (c.A, c.B))];
        Diodes = [.. Ends(network.Parts.OfType<Diode>(), d => (d.Anode, d.Cathode))];
        Tubes = [.. network.Tubes.Select(t => new TubeLeads(_nodeOf[t.Grid], _nodeOf[t.Screen], _nodeOf[t.Plate], _nodeOf[t.Cathode]))];
        Pattern = new(this);
    }

    public Network Network { get; }

    /// <summary>Ground first, then in the order of the network.</summary>
    public IReadOnlyList<string> Nodes { get; }

    /// <summary>Voltages and branch currents to be found.</summary>
    public int Unknowns { get; }

    /// <summary>Of each node its place among the unknowns, or -1 where a source holds it.</summary>
    internal int[] UnknownOf { get; }

    /// <summary>Nodes held by sources, in an order in which each leans only on earlier ones.</summary>
    internal HeldNode[] Held { get; }

    /// <summary>Sources between nodes that nothing holds; their currents are unknowns after the nodes.</summary>
    internal BranchSource[] Branches { get; }

    internal (int A, int B)[] Resistors { get; }

    /// <summary>Those of the network, then those between the electrodes of its tubes.</summary>
    internal (int A, int B)[] Capacitors { get; }

    internal (int A, int B)[] Diodes { get; }

    internal TubeLeads[] Tubes { get; }

    internal CircuitPattern Pattern { get; }

    /// <exception cref="ArgumentException">The network does not pass <see cref="NetworkChecks"/>.</exception>
    public static Circuit Of(Network network)
    {
        ArgumentNullException.ThrowIfNull(network);
        var faults = NetworkChecks.Find(network);
        if (faults.Count > 0) throw new ArgumentException(string.Join(Environment.NewLine, faults), nameof(network));
        string[] nodes = [Network.Ground, .. network.Nodes];
        var place = nodes.Select((name, at) => (name, at)).ToDictionary(n => n.name, n => n.at, StringComparer.Ordinal);
        var sources = network.Parts.OfType<Source>().ToArray();
        var known = new bool[nodes.Length];
        known[0] = true;
        var held = new List<HeldNode>();
        var open = Enumerable.Range(0, sources.Length).ToList();
        for (var found = true; found;)
        {
            found = false;
            foreach (var s in open.ToArray())
            {
                int plus = place[sources[s].Plus], minus = place[sources[s].Minus];
                if (known[plus] == known[minus]) continue;
                held.Add(known[minus] ? new(plus, minus, s, 1) : new(minus, plus, s, -1));
                known[plus] = known[minus] = found = true;
                open.Remove(s);
            }
        }
        var unknown = new int[nodes.Length];
        var next = 0;
        for (var n = 0; n < nodes.Length; n++) unknown[n] = known[n] ? -1 : next++;
        return new(network, nodes, unknown, [.. held], [.. open.Select(s => new BranchSource(place[sources[s].Plus], place[sources[s].Minus], s))]);
    }

    /// <returns>The number of the node.</returns>
    /// <exception cref="ArgumentException">The network has no such node.</exception>
    public int NodeOf(string name) => _nodeOf.TryGetValue(name, out var at) ? at : throw new ArgumentException($"The network {Network.Name} has no node '{name}'.", nameof(name));

    /// <summary>Capacitors of the network and those of its tubes, each with a part's name.</summary>
    internal static IEnumerable<Capacitor> CapacitorsOf(Network network)
    {
        foreach (var capacitor in network.Parts.OfType<Capacitor>()) yield return capacitor;
        foreach (var tube in network.Tubes)
        {
            var c = tube.Capacitances;
            yield return new(tube.Name + "_gk", tube.Grid, tube.Cathode, tube.IsTriode ? c.GridCathode - c.GridScreen : c.GridCathode);
            yield return new(tube.Name + "_gp", tube.Grid, tube.Plate, tube.IsTriode ? c.GridPlate + c.GridScreen : c.GridPlate);
            yield return new(tube.Name + "_pk", tube.Plate, tube.Cathode, c.PlateCathode);
        }
    }

    private IEnumerable<(int A, int B)> Ends<T>(IEnumerable<T> parts, Func<T, (string A, string B)> ends) => parts.Select(ends).Select(e => (_nodeOf[e.A], _nodeOf[e.B]));
}

/// <summary>Numbers of the nodes of a tube.</summary>
internal readonly record struct TubeLeads(int Grid, int Screen, int Plate, int Cathode);

/// <summary>A node whose voltage is that of another plus or minus that of a source.</summary>
internal readonly record struct HeldNode(int Node, int From, int Source, int Sign);

/// <summary>A source whose current is an unknown.</summary>
internal readonly record struct BranchSource(int Plus, int Minus, int Source);
