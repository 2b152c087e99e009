using SweepRig.Analysis.Tests.Spice;
using SweepRig.Logic.Export;
using SweepRig.Logic.Solving;

namespace SweepRig.Logic.Tests.Spice;

/// <summary>Our balances of random networks beside those of ngspice (Debian package) on the exported netlist.</summary>
public static class CircuitAgreement
{
    // Two balances further apart than this are two, not one reckoned differently.
    private const double SameVolts = 0.01;

    /// <param name="Networks">Compared.</param>
    /// <param name="Points">Balances of ngspice compared.</param>
    /// <param name="WorstVolts">Largest difference of a node.</param>
    /// <param name="WorstAt">Where, for the report.</param>
    /// <param name="Missing">Balances to which ngspice came and which we did not find.</param>
    /// <param name="NotAddingUp">Networks whose states do not add up: one is known to be missing.</param>
    /// <param name="Unfinished">Networks in which ngspice itself gave no balance.</param>
    public sealed record Seen(int Networks, int Points, double WorstVolts, string WorstAt, int Missing, int NotAddingUp, int Unfinished);

    /// <param name="leads">Random starts that ngspice is given in each network that stores, beside those near our states.</param>
    public static async Task<Seen> CompareAsync(IEnumerable<RandomNetworks.Drawn> networks, int leads, int seed, CancellationToken cancel)
    {
        var random = new Random(seed);
        var seen = new Seen(0, 0, 0, "", 0, 0, 0);
        foreach (var drawn in networks)
        {
            var states = StateFinder.Find(new CircuitValues(Circuit.Of(drawn.Network)), cancel: cancel);
            seen = seen with { Networks = seen.Networks + 1, NotAddingUp = seen.NotAddingUp + (states.AddsUp ? 0 : 1) };
            List<IReadOnlyDictionary<string, double>> starts = [new Dictionary<string, double>()];
            if (drawn.Kind == "latch")
            {
                starts.AddRange(states.Stable.Select(s => drawn.Network.Nodes.ToDictionary(n => n, n => Math.Round(s.Point.At(n), 1))));
                var rail = states.All.Count > 0 ? drawn.Network.Nodes.Max(n => states.All[0].Point.At(n)) : 28;
                for (var l = 0; l < leads; l++) starts.Add(drawn.Signals.ToDictionary(s => s, _ => Math.Round(rail * random.NextDouble(), 1)));
            }
            foreach (var start in starts) seen = await CompareAsync(drawn, states, start, seen, cancel);
        }
        return seen;
    }

    private static async Task<Seen> CompareAsync(RandomNetworks.Drawn drawn, NetworkStates states, IReadOnlyDictionary<string, double> start, Seen seen, CancellationToken cancel)
    {
        var network = drawn.Network;
        Ngspice.Answer answer;
        try
        {
            answer = await Ngspice.RunAsync(NetlistWriter.Write(network) + NetlistWriter.NodeSet(start), "op", network.Nodes.Select(n => $"v({n})"), cancel);
        }
        catch (InvalidOperationException)
        {
            return seen with { Unfinished = seen.Unfinished + 1 };
        }
        var row = answer.Rows[0];
        var (nearest, at) = (double.PositiveInfinity, "");
        foreach (var state in states.All)
        {
            var (worst, node) = network.Nodes.Select((n, i) => (Math.Abs(state.Point.At(n) - row[i + 1]), n)).Max();
            if (worst < nearest) (nearest, at) = (worst, $"{drawn.Kind}, node {node}");
        }
        seen = seen with { Points = seen.Points + 1 };
        if (nearest > SameVolts) return seen with { Missing = seen.Missing + 1 };
        return nearest > seen.WorstVolts ? seen with { WorstVolts = nearest, WorstAt = at } : seen;
    }
}
