using SweepRig.Domain.Quantities;
using SweepRig.Service.Cli.Terminal;
using SweepRig.Service.Contract;

namespace SweepRig.Service.Cli.Rendering;

/// <summary>The states of a network for a terminal.</summary>
public static class NetworkText
{
    public static IEnumerable<string> Lines(NetworkStatesView network, Ink ink)
    {
        var stable = network.States.Count(s => s.Stable);
        yield return ink.Strong($"{network.Name}: {stable} stable {(stable == 1 ? "state" : "states")}{(network.States.Length > stable ? $", {network.States.Length - stable} that {(network.States.Length - stable == 1 ? "does" : "do")} not hold" : "")}");
        foreach (var remark in network.Remarks) yield return remark;
        foreach (var (state, at) in network.States.Select((s, at) => (s, at)))
        {
            yield return "";
            yield return ink.Strong($"State {at + 1}, {(state.Stable ? "stable" : "does not hold")}: {W(state.Watts)} from the sources, slowest time constant {Engineering.Format(state.SlowestSeconds, "s", 3)}");
            var nodes = new TextTable(("node", false), ("voltage", true));
            foreach (var node in state.Nodes) nodes.Row(node.Node, V(node.Volts));
            foreach (var line in nodes.Lines(ink)) yield return line;
            if (state.Tubes.Length > 0)
            {
                yield return "";
                var tubes = new TextTable(("tube", false), ("", false), ("grid", true), ("plate", true), ("grid current", true), ("screen", true), ("plate", true), ("cathode", true));
                foreach (var t in state.Tubes) tubes.Row(t.Name, t.Number ?? "", V(t.GridVolts), V(t.PlateVolts), A(t.GridAmperes), A(t.ScreenAmperes), A(t.PlateAmperes), A(t.CathodeAmperes));
                foreach (var line in tubes.Lines(ink)) yield return line;
            }
        }
    }

    private static string V(double volts) => Math.Abs(volts) < 5e-4 ? "0 V" : Engineering.Format(volts, "V", 4);

    private static string A(double amps) => Math.Abs(amps) < 1e-12 ? "0 A" : Engineering.Format(amps, "A", 3);

    private static string W(double watts) => Engineering.Format(watts, "W", 3);
}
