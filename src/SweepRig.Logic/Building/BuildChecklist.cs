using SweepRig.Domain.Quantities;
using SweepRig.Logic.Gates;
using SweepRig.Logic.Networks;

namespace SweepRig.Logic.Building;

/// <summary>One thing to do.</summary>
/// <param name="Title">In a few words.</param>
/// <param name="Text">What to do, a sentence or two each.</param>
/// <param name="Parts">That are fitted in it.</param>
/// <param name="Readings">To be taken at its end; nodes of this step, every row.</param>
public sealed record BuildStep(string Title, IReadOnlyList<string> Text, IReadOnlyList<Part> Parts, IReadOnlyList<TestVoltage> Readings);

/// <summary>The order in which a network is put together and tried.</summary>
/// <param name="Cautions">Above everything else.</param>
/// <param name="MeterOhms">The meter that the readings are for.</param>
public sealed record BuildChecklist(IReadOnlyList<string> Cautions, double MeterOhms, IReadOnlyList<BuildStep> Steps)
{
    // The usual cautions of the trade (common practice, no source).
    private static readonly string[] Usual =
    [
        "Extra-low voltage only, from isolated supplies with a fuse in the plate rail and one in the heater line. A salvaged tube may fail short.",
        "Rails off, and every capacitor discharged through a resistor, before a hand, an iron or a tube goes in.",
        "Heaters first, then the bias rail, then the plate rail; off in the opposite order.",
        "Glass and heaters burn: let a tube cool, pull it straight, wear eye protection; it can shatter.",
        "Follow local electrical codes; have mains wiring done or checked by a licensed electrician.",
    ];

    public static BuildChecklist Of(BuildPlan plan, BuildTolerances tolerances, double meterOhms = TestVoltages.UsualMeterOhms)
    {
        ArgumentNullException.ThrowIfNull(plan);
        var (voltages, list) = (TestVoltages.Of(plan, tolerances, meterOhms), PartsList.Of(plan, tolerances));
        return new(Usual, meterOhms,
        [
            new("Sort", [$"Lay out all parts by the list and measure every resistor: within {tolerances.Parts.ResistorTolerance * 100:0.#} % of its value. Read the number of every tube."], [], []),
            Heaters(list),
            new("Before power", ["With no tube in, measure from each rail to ground and from rail to rail: no short. Connect the meter's other lead to ground and leave it there."], [], []),
            .. plan.Gates is { } gates ? Stages(gates).Select(s => Stage(s.Stage, s.Before, plan, tolerances, meterOhms)) : [Whole(plan)],
            Table(plan, voltages, meterOhms),
        ]);
    }

    private static BuildStep Heaters(PartsList list)
    {
        var volts = list.Tubes.Select(t => t.HeaterVolts).Distinct().Order().Select(v => Engineering.Format(v, "V", 3));
        List<string> text =
        [
            $"Wire the heaters to {string.Join(" and ", volts)} and plug in all tubes, with both rails off. Measure the voltage at the pins of every socket: within 5 %.",
            $"Their supply gives {Engineering.Format(list.HeaterAmps, "A", 3)}{(list.HeatersUnknown.Count == 0 ? "" : $", and what {string.Join(", ", list.HeatersUnknown)} take, which is not known")}; for a moment after switching on several times that. Let them warm for a minute, then switch off and pull the tubes again.",
        ];
        return new("Heaters", text, [], []);
    }

    private static BuildStep Stage(List<Gate> gates, List<Gate> before, BuildPlan plan, BuildTolerances tolerances, double meterOhms)
    {
        Part[] parts = [.. gates.SelectMany(g => Names(plan.Gates!, g, plan)).Select(n => plan.Network.Parts.First(p => p.Name == n))];
        string[] names = [.. gates.Select(g => g.Output)];
        // What a stage will feed is not there yet, and loads it later: it is read as it then stands.
        var partly = BuildPlan.Of(plan.Gates!.Only([.. before, .. gates]) with { Outputs = names }, position => plan.Network.Tubes.First(t => t.Name == position));
        var nodes = parts.SelectMany(p => p.Nodes).ToHashSet(StringComparer.Ordinal);
        nodes.ExceptWith(before.Select(g => g.Output));
        return new(
            $"{(gates.Count == 1 ? "Stage" : "Stages")} {string.Join(", ", names)}",
            ["Rails off, capacitors discharged. Fit the parts, then the tubes. Heaters on, a minute later the bias rail, then the plate rail. The readings hold while what comes in later steps is not fitted yet."],
            parts, partly.Value is { } part ? [.. TestVoltages.Of(part, tolerances, meterOhms).Where(v => nodes.Contains(v.Node))] : []);
    }

    private static BuildStep Whole(BuildPlan plan) =>
        new("All parts", ["Rails off, capacitors discharged. Fit the parts, then the tubes. Heaters on, a minute later the bias rail, then the plate rail."], [.. plan.Network.Parts.Where(p => p is not Source)], []);

    private static BuildStep Table(BuildPlan plan, IReadOnlyList<TestVoltage> voltages, double meterOhms)
    {
        var signals = (plan.Gates?.Gates.Select(g => g.Output) ?? plan.Nodes).ToHashSet(StringComparer.Ordinal);
        List<string> text = [$"Set the inputs row by row, with everything fitted, and read every signal with a meter of {Engineering.Format(meterOhms, "Ω", 3)}; its resistance is part of what it shows, so type it in with the readings when you have them checked."];
        if (plan.Rows.Any(r => r.Set.Count > 0))
            text.Add($"Inputs: {string.Join("; ", plan.Rows.SelectMany(r => r.Set.Values).Distinct().Order().Select(v => Engineering.Format(v, "V", 3)).Distinct())}, from a supply or the output of another stage.");
        return new("Every row", text, [], [.. voltages.Where(v => signals.Contains(v.Node))]);
    }

    // From the inputs on, so that each stage is tried with what drives it in place; those of a loop, and what hangs on it, at once.
    private static IEnumerable<(List<Gate> Stage, List<Gate> Before)> Stages(GateNetwork gates)
    {
        var (ready, left, before) = (gates.Inputs.ToHashSet(StringComparer.Ordinal), gates.Gates.ToList(), new List<Gate>());
        while (left.Count > 0)
        {
            List<Gate> next = left.Find(g => g.Inputs.All(ready.Contains)) is { } gate ? [gate] : [.. left];
            yield return (next, [.. before]);
            left.RemoveAll(next.Contains);
            before.AddRange(next);
            ready.UnionWith(next.Select(g => g.Output));
        }
    }

    private static IEnumerable<string> Names(GateNetwork gates, Gate gate, BuildPlan plan) =>
        GateWiring.Wire(gates.Only([gate]) with { Inputs = [] }, position => plan.Network.Tubes.First(t => t.Name == position), []).Parts.Where(p => p is not Source).Select(p => p.Name);
}
