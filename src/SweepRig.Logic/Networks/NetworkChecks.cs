using System.Globalization;
using SweepRig.Domain;
using SweepRig.Domain.Quantities;
using SweepRig.Domain.Tubes;

namespace SweepRig.Logic.Networks;

/// <summary>What speaks against reckoning with a network at all.</summary>
public static class NetworkChecks
{
    /// <summary>Smallest and largest resistor and capacitor taken.</summary>
    public const double LeastOhms = 1e-3, MostOhms = 1e12, LeastFarads = 1e-18, MostFarads = 1;

    /// <returns>Every fault; empty when there is none. Paths are those of <see cref="NetworkDocument"/>.</returns>
    public static IReadOnlyList<Refusal> Find(Network network)
    {
        ArgumentNullException.ThrowIfNull(network);
        List<Refusal> faults = [];
        Names(network, faults);
        var places = new NetworkPlaces(network);
        foreach (var part in network.Parts) Values(part, places.Of(part), faults);
        TubesTwice(network, places, faults);
        if (faults.Count > 0) return faults;
        SourceLoops(network, places, faults);
        Rails(network, faults);
        Floating(network, faults);
        if (faults.Count == 0) MeasuredTubeChecks.Find(network, places, faults);
        return faults;
    }

    private static void Names(Network network, List<Refusal> faults)
    {
        if (network.Parts.Count is 0 or > Network.MostParts)
            faults.Add(new("parts-count", "", $"the network has {network.Parts.Count} parts", $"1 to {Network.MostParts} are allowed", "Add parts, or cut the network into smaller ones."));
        foreach (var twice in network.Parts.GroupBy(p => p.Name, StringComparer.OrdinalIgnoreCase).Where(g => g.Count() > 1))
            faults.Add(new("name-twice", "", $"the name {twice.Key} stands {twice.Count()} times", "each part has a name of its own, whatever its case", "Rename one of them."));
        foreach (var name in network.Parts.Select(p => p.Name).Where(n => !IsGoodPartName(n)))
            faults.Add(new("bad-name", "", $"a part is called \"{name}\"", "a letter, then up to 23 letters, digits and _ are allowed", "Write for example Rplate or V1."));
        foreach (var node in network.Nodes.Where(n => !IsGoodNodeName(n)))
            faults.Add(new("bad-node", "", $"a node is called \"{node}\"", "1 to 24 letters, digits and _ are allowed", "Write for example out1."));
        foreach (var alike in network.Nodes.GroupBy(n => n, StringComparer.OrdinalIgnoreCase).Where(g => g.Count() > 1))
            faults.Add(new("nodes-alike", "", $"nodes {string.Join(" and ", alike)} differ in case alone", "SPICE does not tell them apart, and people may not", "Write the name everywhere alike, or rename one."));
        if (!network.Parts.Any(p => p.Nodes.Contains(Network.Ground)))
            faults.Add(new("no-ground", "", "no part is at node \"0\"", "voltages are counted from node \"0\"", "Call the common of the supplies \"0\"."));
    }

    internal static bool IsGoodPartName(string name) => name.Length is > 0 and <= 24 && char.IsAsciiLetter(name[0]) && name.All(IsNameLetter);

    internal static bool IsGoodNodeName(string name) => name.Length is > 0 and <= 24 && name.All(IsNameLetter);

    private static bool IsNameLetter(char c) => char.IsAsciiLetterOrDigit(c) || c == '_';

    private static void Values(Part part, string path, List<Refusal> faults)
    {
        switch (part)
        {
            case Resistor r: Within(r.Ohms, LeastOhms, MostOhms, "Ω"); break;
            case Capacitor c: Within(c.Farads, LeastFarads, MostFarads, "F"); break;
            case Diode d:
                Within(d.SaturationAmps, 1e-18, 1e-3, "A");
                Within(d.Emission, 0.5, 5, "");
                break;
            case TubePart { IsTriode: true } t when t.Capacitances.GridScreen > t.Capacitances.GridCathode:
                faults.Add(new("capacitance", path, $"{t.Name} has {Farads(t.Capacitances.GridScreen)} from grid to screen", $"it is a part of the {Farads(t.Capacitances.GridCathode)} of the whole input", "Correct one of the two."));
                break;
        }
        if (part is Resistor or Capacitor or Diode or Source && part.Nodes[0] == part.Nodes[1])
            faults.Add(new("shorted-part", path, $"both ends of {part.Name} are at node {part.Nodes[0]}", "a part needs two nodes", "Correct one of them, or leave the part out."));

        void Within(double value, double low, double high, string unit)
        {
            if (value >= low && value <= high) return;
            faults.Add(new("out-of-range", path, $"{part.Name} is {Number(value)} {unit}", $"{Number(low)} to {Number(high)} {unit} is allowed", "Correct the value; a wire is written as one node."));
        }
    }

    private static void TubesTwice(Network network, NetworkPlaces places, List<Refusal> faults)
    {
        foreach (var twice in network.Tubes.Where(t => t.Number is not null).GroupBy(t => t.Number!, StringComparer.OrdinalIgnoreCase).Where(g => g.Count() > 1))
        {
            faults.Add(new("tube-twice", places.Of(twice.Last()), $"tube {twice.Key} stands at {string.Join(" and ", twice.Select(t => t.Name))}", "one tube can be plugged in at one place",
                "Name another tube at one of them; two sections of one tube are told apart as SKUA-014/1 and SKUA-014/2."));
        }
    }

    private static void SourceLoops(Network network, NetworkPlaces places, List<Refusal> faults)
    {
        var joined = new NodeGroups();
        foreach (var source in network.Parts.OfType<Source>())
        {
            if (joined.Join(source.Plus, source.Minus)) continue;
            faults.Add(new("source-loop", places.Of(source), $"the source {source.Name} from {source.Minus} to {source.Plus} closes a loop of sources", "sources have no resistance, so that their voltages would contradict each other or share a current nobody can tell",
                "Take it out, or put a resistor in series."));
        }
    }

    private static void Rails(Network network, List<Refusal> faults)
    {
        var limit = ExtraLowVoltage.Limit.Value;
        // Nodes joined by sources have fixed differences; the widest of all their moments is what a hand could meet.
        foreach (var (low, high, at) in SourceSpans.Of(network))
        {
            if (high - low <= limit) continue;
            faults.Add(new("rail-too-high", "", $"the sources at {at} put {Volts(high - low)} between two nodes", $"at most {Volts(limit)} is allowed anywhere: extra-low voltage",
                "Lower a source. Higher voltages are outside of what this program is for."));
        }
    }

    private static void Floating(Network network, List<Refusal> faults)
    {
        var joined = new NodeGroups();
        foreach (var part in network.Parts)
        {
            if (part is Capacitor) continue;
            // The electrodes of a tube leak to its cathode, if little; a grid that hangs on nothing else is still a mistake.
            if (part is TubePart tube)
            {
                _ = joined.Join(tube.Plate, tube.Cathode);
                _ = joined.Join(tube.Screen, tube.Cathode);
            }
            else _ = joined.Join(part.Nodes[0], part.Nodes[1]);
        }
        foreach (var node in network.Nodes.Where(n => !joined.Together(n, Network.Ground)))
        {
            faults.Add(new("floating-node", "", $"node {node} has no way for direct current to node 0", "every node needs one, through resistors, sources, diodes, or a tube from plate or screen to cathode",
                $"Add a resistor from {node} to where it belongs; grids need one too."));
        }
    }

    private static string Volts(double volts) => Engineering.Format(volts, "V", 4);

    private static string Farads(double farads) => Engineering.Format(farads, "F", 3);

    private static string Number(double value) => value.ToString("R", CultureInfo.InvariantCulture);
}
