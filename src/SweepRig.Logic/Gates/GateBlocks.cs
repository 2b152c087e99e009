using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Gates;

/// <summary>Parts of a network that share nothing but inputs and rails, which sources hold: what one does is nothing to the others.</summary>
internal static class GateBlocks
{
    /// <returns>Each as a network of its own with the inputs that it takes, in the order of their first gates.</returns>
    public static IReadOnlyList<GateNetwork> Of(GateNetwork network)
    {
        var (inputs, groups) = (network.Inputs.ToHashSet(StringComparer.Ordinal), new NodeGroups());
        foreach (var gate in network.Gates) Join(gate.Output, gate.Inputs);
        foreach (var steer in network.Steers) Join(steer.Target, [steer.Trigger, steer.Level ?? steer.Target]);
        var blocks = new List<List<Gate>>();
        foreach (var gate in network.Gates)
        {
            if (blocks.Find(b => groups.Together(b[0].Output, gate.Output)) is { } block) block.Add(gate);
            else blocks.Add([gate]);
        }
        return blocks.Count == 1 ? [network] : [.. blocks.Select(Block)];

        void Join(string signal, IEnumerable<string> others)
        {
            foreach (var other in others.Where(o => !inputs.Contains(o))) groups.Join(signal, other);
        }

        GateNetwork Block(List<Gate> gates)
        {
            var block = network.Only(gates);
            var signals = gates.Select(g => g.Output).ToHashSet(StringComparer.Ordinal);
            var taken = gates.SelectMany(g => g.Inputs).Concat(block.Steers.Select(s => s.Trigger)).Concat(block.Steers.Select(s => s.Level).OfType<string>()).ToHashSet(StringComparer.Ordinal);
            // What loads an input, which a source holds, is nothing to the gates.
            return block with
            {
                Inputs = [.. network.Inputs.Where(taken.Contains)],
                Outputs = [.. network.Outputs.Where(signals.Contains)],
                Loads = [.. block.Loads.Where(l => signals.Contains(l.Signal))],
            };
        }
    }
}
