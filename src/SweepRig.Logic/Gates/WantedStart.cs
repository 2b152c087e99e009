using SweepRig.Logic.Margins;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Gates;

/// <summary>Voltages near which a network is that does what its gates want.</summary>
internal static class WantedStart
{
    /// <param name="values">With the inputs set.</param>
    /// <param name="wanted">Of each signal.</param>
    /// <returns>One voltage a node.</returns>
    public static double[] Of(GateNetwork network, CircuitValues values, IReadOnlyDictionary<string, bool> wanted, ChainLevels levels)
    {
        var circuit = values.Circuit;
        var volts = new double[circuit.Nodes.Count];
        values.Hold(0, 1, volts);
        var free = new bool[volts.Length];
        for (var n = 0; n < free.Length; n++) free[n] = circuit.UnknownOf[n] >= 0;
        foreach (var gate in network.Gates)
        {
            var node = circuit.NodeOf(gate.Output);
            volts[node] = wanted[gate.Output] ? levels.High : levels.Low;
            free[node] = false;
        }
        foreach (var branch in circuit.Branches)
        {
            volts[branch.Plus] = volts[branch.Minus];
            free[branch.Plus] = false;
        }
        FirstGuess.Complete(values, free, volts);
        return volts;
    }
}
