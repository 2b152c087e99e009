namespace SweepRig.Logic.Gates.Documents;

/// <summary>A sheet of each kind of circuit, ready to be changed.</summary>
public static class SheetExamples
{
    /// <summary>The rails of a low-voltage bench. Unit: V.</summary>
    public static GateRails Rails { get; } = new(28, -14, 6.3);

    /// <returns>One a kind, in the order of <see cref="CircuitKinds.All"/>; rows, rings and registers have four places.</returns>
    public static IReadOnlyList<GateSheet> All { get; } = [.. CircuitKinds.All.Select(Of)];

    private static GateSheet Of(CircuitKind kind)
    {
        const int cells = 4;
        string[] outputs = kind.MostOutputs == 1 ? ["y"] : kind.MostOutputs == 2 ? [.. kind.OutputNames.Select((n, at) => at == 1 && n != "carry" ? "p" : n)] : [.. Enumerable.Range(1, cells).Select(n => $"q{n}")];
        string[] inputs = kind.HasInputForEachOutput ? [.. outputs.Select(o => "d" + o[1..]), "clock"]
            : kind.InputNames.Count == kind.MostInputs && kind.MostInputs > 1 ? [.. kind.InputNames]
            : [.. Enumerable.Range(0, Math.Max(kind.LeastInputs, 1)).Select(n => $"{(char)('a' + n)}")];
        // An edge has a name that says so.
        if (kind.InputNames is ["trigger"]) inputs = ["trigger"];
        return new(kind.Word, Rails, inputs, outputs, [new GateEntry(kind.Word, inputs, outputs)]) { Note = kind.Says, Values = CellValues.Usual with { Stage = CircuitExamples.UsualOf(kind.Word) } };
    }
}
