namespace SweepRig.Logic.Gates.Documents;

/// <summary>Every kind of thing that a sheet can be made of.</summary>
public static class CircuitKinds
{
    /// <summary>Most inputs of a gate: a tube each, or resistors that share what a grid needs.</summary>
    public const int MostInputs = 8, MostCells = 12;

    public static IReadOnlyList<CircuitKind> All { get; } =
    [
        Gate("inverter", "one tube, one input", 1, GateKind.Nor),
        Gate("nor", "tubes on one plate resistor, one an input: low when any input is high", MostInputs, GateKind.Nor) with { LeastInputs = 2 },
        Gate("nor-at-grid", "one tube, all inputs at its grid: low when any is high", 4, GateKind.NorAtGrid) with { LeastInputs = 2 },
        Gate("nand-at-grid", "one tube, turned on by all inputs together: low when all are high", 4, GateKind.NandAtGrid) with { LeastInputs = 2 },
        new("nand-at-screen", "a pentode gated at its screen through a follower: low when both are high", ["grid", "screen"], 2, 2, ["output"], 1, 1, (e, v) => Gates(
            new(e.Outputs[0] + "_f", GateKind.Follower, [e.Inputs[1]], v.Stage), new(e.Outputs[0], GateKind.NandAtScreen, [e.Inputs[0], e.Outputs[0] + "_f"], v.Stage with { IsTriode = false }))),
        Gate("follower", "a cathode follower: can feed many", 1, GateKind.Follower),
        new("buffer", "two inverters, one behind the other", ["input"], 1, 1, ["output"], 1, 1, (e, v) => Gates(Nor(v, e.Outputs[0] + "_i", e.Inputs[0]), Nor(v, e.Outputs[0], e.Outputs[0] + "_i"))),
        new("latch", "set and reset by levels", ["set", "reset"], 2, 2, ["q", "its opposite"], 2, 2, (e, v) => Gates(Nor(v, e.Outputs[0], e.Inputs[1], e.Outputs[1]), Nor(v, e.Outputs[1], e.Inputs[0], e.Outputs[0]))),
        Cell("toggle", "changes with each falling edge, which is led to the grids", ["trigger"], 2, (e, c) => c.Toggle(e.Outputs[0], e.Outputs[1], e.Inputs[0], SteerPlace.Grid)),
        Cell("toggle-at-plates", "the same with the edge led to the plates", ["trigger"], 2, (e, c) => c.Toggle(e.Outputs[0], e.Outputs[1], e.Inputs[0], SteerPlace.Plate)),
        Cell("clocked", "takes over its data at each falling edge of the clock", ["data", "clock"], 2, (e, c) => c.Clocked(e.Outputs[0], e.Outputs[1], e.Inputs[0], null, e.Inputs[1])),
        Cell("ring-stage", "takes over what the stage before it is; a high clear makes it low", ["before", "clock", "clear"], 2, (e, c) => c.Clocked(e.Outputs[0], e.Outputs[1], e.Inputs[0], null, e.Inputs[1], e.Inputs[2])),
        Cell("ring", "one of its places is high, and the next with each edge; a high start makes it the first", ["clock", "start"], MostCells, (e, c) => c.Ring(e.Outputs, e.Inputs[0], e.Inputs[1])),
        Cell("shift-register", "bits in a row, moved on by one with each edge", ["data", "clock"], MostCells, (e, c) => c.Shift(e.Outputs, e.Inputs[0], e.Inputs[1])) with { LeastOutputs = 1 },
        Cell("register", "bits side by side, taken over with each edge", ["data of each output", "clock"], MostCells, Register) with { LeastOutputs = 1, HasInputForEachOutput = true },
        new("half-adder", "sum and carry of two bits", ["a", "b"], 2, 2, ["sum", "carry"], 2, 2, (e, v) => Adder(GateExamples.HalfAdder, e, v)),
        new("full-adder", "sum and carry of three bits", ["a", "b", "c"], 3, 3, ["sum", "carry"], 2, 2, (e, v) => Adder(GateExamples.FullAdder, e, v)),
    ];

    /// <returns>The kind of that word; null for none.</returns>
    public static CircuitKind? Find(string word) => All.FirstOrDefault(k => k.Word == word);

    private static CircuitKind Gate(string word, string says, int most, GateKind kind) =>
        new(word, says, ["input"], 1, most, ["output"], 1, 1, (e, v) => Gates(new Gate(e.Outputs[0], kind, e.Inputs, v.Stage)));

    private static CircuitKind Cell(string word, string says, IReadOnlyList<string> inputs, int most, Action<GateEntry, StorageCells> make) =>
        new(word, says, inputs, inputs.Count, inputs.Count, most == 2 ? ["q", "its opposite"] : ["output"], 2, most, (e, v) =>
        {
            var cells = new StorageCells(v);
            make(e, cells);
            return (cells.Gates, cells.Steers);
        });

    private static void Register(GateEntry entry, StorageCells cells)
    {
        for (var n = 0; n < entry.Outputs.Count; n++) cells.Clocked(entry.Outputs[n], StorageCells.Partner(entry.Outputs[n]), entry.Inputs[n], null, entry.Inputs[^1]);
    }

    // The example's own signals get the names of the entry; those between, its first output with a number.
    private static (IReadOnlyList<Gate>, IReadOnlyList<Steer>) Adder(Func<GateRails, StageValues, GateNetwork> make, GateEntry entry, CellValues values)
    {
        var example = make(new(0, 0, 0), values.Stage);
        var names = new Dictionary<string, string>(StringComparer.Ordinal);
        for (var i = 0; i < example.Inputs.Count; i++) names[example.Inputs[i]] = entry.Inputs[i];
        for (var o = 0; o < example.Outputs.Count; o++) names[example.Outputs[o]] = entry.Outputs[o];
        foreach (var gate in example.Gates) names.TryAdd(gate.Output, $"{entry.Outputs[0]}_{names.Count - example.Inputs.Count - example.Outputs.Count + 1}");
        return Gates([.. example.Gates.Select(g => g with { Output = names[g.Output], Inputs = [.. g.Inputs.Select(i => names[i])] })]);
    }

    private static Gate Nor(CellValues values, string output, params string[] inputs) => new(output, GateKind.Nor, inputs, values.Stage);

    private static (IReadOnlyList<Gate> Gates, IReadOnlyList<Steer> Steers) Gates(params Gate[] gates) => (gates, []);
}
