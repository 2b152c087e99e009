using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Solving;

/// <summary>Parts of a circuit that share nothing but nodes that sources hold: what state one is in is nothing to the others.</summary>
internal static class CircuitBlocks
{
    /// <returns>Each as a circuit of its own with the present values; the circuit itself when it is of one piece.</returns>
    public static IReadOnlyList<CircuitValues> Of(CircuitValues values)
    {
        var circuit = values.Circuit;
        var groups = new NodeGroups();
        foreach (var part in circuit.Network.Parts)
        {
            var free = Free(part).ToList();
            foreach (var node in free.Skip(1)) groups.Join(free[0], node);
        }
        var heads = new List<string>();
        foreach (var node in circuit.Network.Nodes.Where(IsFree))
            if (!heads.Exists(h => groups.Together(h, node))) heads.Add(node);
        return heads.Count < 2 ? [values] : [.. heads.Select(head => Block(values, part => Free(part).All(n => groups.Together(n, head))))];

        bool IsFree(string node) => circuit.UnknownOf[circuit.NodeOf(node)] >= 0;
        IEnumerable<string> Free(Part part) => part.Nodes.Where(IsFree);
    }

    private static CircuitValues Block(CircuitValues values, Func<Part, bool> takes)
    {
        var network = values.Circuit.Network;
        var block = new CircuitValues(Circuit.Of(network with { Parts = [.. network.Parts.Where(takes)] }));
        Copy(network.Parts.OfType<Resistor>().Select(takes), values.Siemens, block.Siemens);
        Copy([.. network.Parts.OfType<Capacitor>().Select(takes), .. network.Tubes.SelectMany(t => Enumerable.Repeat(takes(t), 3))], values.Farads, block.Farads);
        Copy(network.Parts.OfType<Diode>().Select(takes), values.Diodes, block.Diodes);
        Copy(network.Tubes.Select(takes), values.Tubes, block.Tubes);
        Copy(network.Parts.OfType<Source>().Select(takes), values.Sources, block.Sources);
        return block;
    }

    private static void Copy<T>(IEnumerable<bool> taken, T[] from, T[] to)
    {
        var (at, next) = (0, 0);
        foreach (var isTaken in taken)
        {
            if (isTaken) to[next++] = from[at];
            at++;
        }
    }
}
