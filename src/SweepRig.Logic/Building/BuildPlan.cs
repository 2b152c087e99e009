using SweepRig.Domain;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;
using SweepRig.Logic.Solving;
using SweepRig.Logic.Yield;

namespace SweepRig.Logic.Building;

/// <summary>A state of a network that is looked at on the bench.</summary>
/// <param name="Name">For example <c>a=0 b=1</c>; where a network stores, with the signals that tell its states apart.</param>
/// <param name="Set">What each source of an input is set to. Unit: V.</param>
/// <param name="Volts">Of each node but ground, with its nominal parts and no meter at it.</param>
public sealed record BuildRow(string Name, IReadOnlyDictionary<string, double> Set, IReadOnlyDictionary<string, double> Volts);

/// <summary>How far what is on the bench may be from what was reckoned.</summary>
/// <param name="Parts">Of resistors, rails and tubes.</param>
/// <param name="MeterShare">Of a reading that the meter may be off by, as a share, one standard deviation; inputs are set with the same meter.</param>
/// <param name="MeterVolts">In addition, one standard deviation. Unit: V.</param>
public sealed record BuildTolerances(Tolerances Parts, double MeterShare, double MeterVolts)
{
    /// <summary>The usual tolerances, a meter within 0.5 % and 20 mV (illustrative; a hand meter's sheet says what its own is).</summary>
    public static BuildTolerances Usual { get; } = new(Tolerances.Usual, 0.005, 0.02);

    /// <summary>Standard deviation of a reading through the meter alone.</summary>
    internal double Meter(double volts) => MeterShare * Math.Abs(volts) + MeterVolts;
}

/// <summary>A network that is going to be built, with every state in which it can be looked at.</summary>
/// <param name="Network">All its parts.</param>
/// <param name="Rows">In the order in which they are set up.</param>
/// <param name="Gates">The stages it is made of; null for a network of one's own.</param>
public sealed record BuildPlan(Network Network, IReadOnlyList<BuildRow> Rows, GateNetwork? Gates)
{
    /// <summary>Nodes that a meter is put to: all that no source holds.</summary>
    public IReadOnlyList<string> Nodes
    {
        get
        {
            var held = Network.Parts.OfType<Source>().SelectMany(s => s.Nodes).ToHashSet(StringComparer.Ordinal);
            return [.. Network.Nodes.Where(n => !held.Contains(n))];
        }
    }

    /// <param name="tube">The tube for each place.</param>
    /// <returns>Refused when the network is wrong with its nominal parts.</returns>
    public static Outcome<BuildPlan> Of(GateNetwork gates, Func<string, TubePart> tube)
    {
        ArgumentNullException.ThrowIfNull(gates);
        var nominal = NominalTable.Of(gates, tube);
        if (nominal.Value is not { } table) return Outcome<BuildPlan>.Refuse(nominal.Refusals);
        var network = table.Values.Circuit.Network;
        if (TooLarge(network) is { } refusal) return Outcome<BuildPlan>.Refuse(refusal);
        var names = table.Values.Circuit.Nodes;
        var rows = table.Rows.Select(row =>
        {
            var inputs = string.Join(' ', gates.Inputs.Select((i, at) => $"{i}={(row.Volts[at] > table.Levels.Middle ? 1 : 0)}"));
            var alike = table.Rows.Where(r => r.Volts.AsSpan().SequenceEqual(row.Volts)).ToList();
            var told = gates.Gates.Select((g, at) => (g.Output, at)).Where(g => alike.Any(r => r.Wanted[g.at] != row.Wanted[g.at])).Select(g => $" {g.Output}={(row.Wanted[g.at] ? 1 : 0)}");
            return new BuildRow((inputs + string.Concat(told)).Trim(), gates.Inputs.Select((i, at) => (i, at)).ToDictionary(i => i.i, i => row.Volts[i.at], StringComparer.Ordinal), Named(names, row.Start));
        });
        return Outcome<BuildPlan>.Accept(new(network, [.. rows], gates));
    }

    /// <summary>A network of one's own, with its sources as they are: a row for each stable state.</summary>
    /// <returns>Refused when it has none.</returns>
    public static Outcome<BuildPlan> Of(Network network, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(network);
        if (network.Tubes.FirstOrDefault(t => t.Curve is not null) is { } measured)
        {
            return Outcome<BuildPlan>.Refuse(new Refusal("measured-in-build", "", $"{measured.Name} is taken by its measured curve", "what a wrong part or another tube would show is reckoned from models",
                "Take \"measured\" out and write its screen resistor in."));
        }
        if (TooLarge(network) is { } refusal) return Outcome<BuildPlan>.Refuse(refusal);
        var states = StateFinder.Find(new CircuitValues(Circuit.Of(network)), cancel: cancel).Stable;
        if (states.Count == 0)
            return Outcome<BuildPlan>.Refuse(new Refusal("no-stable-state", "", $"{network.Name} has no stable state", "test voltages are those of a network at rest", "Correct the network, or look at it in time."));
        return Outcome<BuildPlan>.Accept(new(network, [.. states.Select((s, at) => new BuildRow(states.Count == 1 ? "at rest" : $"state {at + 1}", new Dictionary<string, double>(), Named(s.Point.Circuit.Nodes, [.. s.Point.Volts])))], null));
    }

    // A meter at each node is a part too.
    private static Refusal? TooLarge(Network network) => network.Parts.Count + network.Nodes.Count < Network.MostParts ? null : new(
        "build-too-large", "", $"{network.Name} has {network.Parts.Count} parts at {network.Nodes.Count} nodes", $"parts and nodes together must be fewer than {Network.MostParts}", "Build and check it in smaller networks.");

    private static Dictionary<string, double> Named(IReadOnlyList<string> names, double[] volts) =>
        names.Select((name, at) => (name, at)).Where(n => n.name != Network.Ground).ToDictionary(n => n.name, n => volts[n.at], StringComparer.Ordinal);
}
