namespace SweepRig.Logic.Gates;

/// <summary>
/// What the stages of a chain are: inverters, or gates whose inputs meet at one grid. Of such a gate one input follows the stage before; the others rest where they leave that one the
/// word, low for NOR and high for NAND, each fed by a stage of the same kind. What is said of the chain so holds for one input alone, the hardest case of such a grid.
/// </summary>
/// <param name="Kind">Of every stage.</param>
/// <param name="Inputs">Of every stage.</param>
public sealed record StageShape(GateKind Kind, int Inputs)
{
    public static StageShape Inverter { get; } = new(GateKind.Nor, 1);

    /// <summary>The stages of a chain of gates like one. A gate with a tube for each input is an inverter to any of them, as the tubes beside are cut off.</summary>
    public static StageShape Of(Gate gate)
    {
        ArgumentNullException.ThrowIfNull(gate);
        return gate.Kind is GateKind.NorAtGrid or GateKind.NandAtGrid ? new(gate.Kind, gate.Inputs.Count) : Inverter;
    }

    /// <summary>A stage <c>y</c> with input <c>x</c>, then those that it feeds, <c>z1</c> and so on, and last whatever holds their other inputs.</summary>
    public GateNetwork Network(GateRails rails, StageValues values, int fanOut)
    {
        var (stages, resting) = (new List<Gate>(), new List<Gate>());
        Add("y", "x");
        for (var n = 1; n <= fanOut; n++) Add($"z{n}", "y");
        return new("stage", rails, ["x"], ["y"], [.. stages, .. resting]);

        void Add(string output, string input)
        {
            string[] others = [.. Enumerable.Range(2, Inputs - 1).Select(n => $"{output}_o{n}")];
            stages.Add(new(output, Kind, [input, .. others], values));
            // A stage all of whose inputs are at the rail is low; at ground, high.
            var held = Kind == GateKind.NandAtGrid ? Networks.Network.Ground : GateWiring.PlateRail;
            resting.AddRange(others.Select(o => new Gate(o, Kind, [.. Enumerable.Repeat(held, Inputs)], values)));
        }
    }
}
