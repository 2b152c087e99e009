namespace SweepRig.Logic.Gates.Documents;

/// <summary>Something that a sheet can be made of.</summary>
/// <param name="Word">How documents call it.</param>
/// <param name="Says">What it does, for people.</param>
/// <param name="InputNames">What its inputs are, in order; the first stands for as many as <paramref name="MostInputs"/> allows.</param>
/// <param name="LeastInputs">Fewest that it takes.</param>
/// <param name="MostInputs">Most.</param>
/// <param name="OutputNames">What its outputs are, in order; the first stands for as many as <paramref name="MostOutputs"/> allows.</param>
/// <param name="LeastOutputs">Fewest that it makes.</param>
/// <param name="MostOutputs">Most.</param>
/// <param name="Make">Its gates and edges with the names of an entry; called only when the numbers are right.</param>
public sealed record CircuitKind(
    string Word, string Says, IReadOnlyList<string> InputNames, int LeastInputs, int MostInputs, IReadOnlyList<string> OutputNames, int LeastOutputs, int MostOutputs,
    Func<GateEntry, CellValues, (IReadOnlyList<Gate> Gates, IReadOnlyList<Steer> Steers)> Make)
{
    /// <summary>A register has an input for each output, and its clock.</summary>
    internal bool HasInputForEachOutput { get; init; }

    /// <summary>Why the numbers of signals of an entry are wrong; null when they are right.</summary>
    internal (string Asked, string Allowed)? Miscounted(GateEntry entry)
    {
        if (entry.Outputs.Count < LeastOutputs || entry.Outputs.Count > MostOutputs) return ($"{Word} has {entry.Outputs.Count} outputs", $"{Count(LeastOutputs, MostOutputs)} needed: {string.Join(", ", OutputNames)}");
        var (least, most) = HasInputForEachOutput ? (entry.Outputs.Count + 1, entry.Outputs.Count + 1) : (LeastInputs, MostInputs);
        return entry.Inputs.Count < least || entry.Inputs.Count > most ? ($"{Word} has {entry.Inputs.Count} inputs", $"{Count(least, most)} needed: {string.Join(", ", InputNames)}") : null;
    }

    private static string Count(int least, int most) => least == most ? $"{least} {(least == 1 ? "is" : "are")}" : $"{least} to {most} are";
}
