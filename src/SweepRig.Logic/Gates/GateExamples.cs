namespace SweepRig.Logic.Gates;

/// <summary>Networks that are often wanted, ready to have values and tubes put in. The adders are made of nothing but NOR, as any text on switching algebra shows it can be done.</summary>
public static class GateExamples
{
    /// <summary>Every example under the word that commands and pages know it by.</summary>
    public static IReadOnlyList<(string Word, string Says, Func<GateRails, StageValues, GateNetwork> Make)> All { get; } =
    [
        ("inverter", "one tube, one input", Inverter),
        ("nor", "two tubes on one plate resistor", Nor),
        ("nor-at-grid", "one tube, two inputs at its grid", (r, v) => new("nor-at-grid", r, ["a", "b"], ["y"], [new("y", GateKind.NorAtGrid, ["a", "b"], v)])),
        ("nand-at-grid", "one tube, turned on by both inputs together", (r, v) => new("nand-at-grid", r, ["a", "b"], ["y"], [new("y", GateKind.NandAtGrid, ["a", "b"], v)])),
        ("nand-at-screen", "a pentode gated at its screen through a follower", NandAtScreen),
        ("buffer", "two inverters, one behind the other", Buffer),
        ("follower", "a cathode follower", (r, v) => new("follower", r, ["a"], ["y"], [new("y", GateKind.Follower, ["a"], v)])),
        ("latch", "set and reset: two NOR behind each other", Latch),
        ("half-adder", "sum and carry of two bits, eight tubes", HalfAdder),
        ("full-adder", "sum and carry of three bits, eighteen tubes", FullAdder),
    ];

    public static GateNetwork Inverter(GateRails rails, StageValues values) => new("inverter", rails, ["a"], ["y"], [Nor("y", values, "a")]);

    public static GateNetwork Nor(GateRails rails, StageValues values) => new("nor", rails, ["a", "b"], ["y"], [Nor("y", values, "a", "b")]);

    public static GateNetwork Buffer(GateRails rails, StageValues values) => new("buffer", rails, ["a"], ["y"], [Nor("x", values, "a"), Nor("y", values, "x")]);

    /// <summary>q is set by a high <c>set</c> and reset by a high <c>reset</c>; with both low it stays.</summary>
    public static GateNetwork Latch(GateRails rails, StageValues values) => new("latch", rails, ["set", "reset"], ["q", "p"], [Nor("q", values, "reset", "p"), Nor("p", values, "set", "q")]);

    /// <summary>carry = not(not a or not b); sum = not(not(a or b) or carry).</summary>
    public static GateNetwork HalfAdder(GateRails rails, StageValues values) => new("half-adder", rails, ["a", "b"], ["sum", "carry"],
    [
        Nor("na", values, "a"), Nor("nb", values, "b"), Nor("none", values, "a", "b"),
        Nor("carry", values, "na", "nb"), Nor("sum", values, "none", "carry"),
    ]);

    /// <summary>Two like-or-unlike circuits of four NOR each; the carry is low when neither both bits nor one of them with the carry before are high.</summary>
    public static GateNetwork FullAdder(GateRails rails, StageValues values) => new("full-adder", rails, ["a", "b", "c"], ["sum", "carry"],
    [
        Nor("n1", values, "a", "b"), Nor("n2", values, "a", "n1"), Nor("n3", values, "b", "n1"), Nor("alike", values, "n2", "n3"),
        Nor("n5", values, "alike", "c"), Nor("n6", values, "alike", "n5"), Nor("n7", values, "c", "n5"), Nor("sum", values, "n6", "n7"),
        Nor("carry", values, "n1", "n5"),
    ]);

    private static GateNetwork NandAtScreen(GateRails rails, StageValues values) => new("nand-at-screen", rails, ["a", "b"], ["y"],
        [new("f", GateKind.Follower, ["b"], values), new("y", GateKind.NandAtScreen, ["a", "f"], values with { IsTriode = false })]);

    private static Gate Nor(string output, StageValues values, params string[] inputs) => new(output, GateKind.Nor, inputs, values);
}
