namespace SweepRig.Logic.Gates;

/// <summary>Every network that commands, REST and page know by a word: gates first, then what stores by edges.</summary>
public static class CircuitExamples
{
    public static IReadOnlyList<(string Word, string Says, Func<GateRails, StageValues, GateNetwork> Make)> All { get; } = [.. GateExamples.All, .. SequenceExamples.All];
}
