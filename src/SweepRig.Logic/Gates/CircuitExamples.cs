namespace SweepRig.Logic.Gates;

/// <summary>Every network that commands, REST and page know by a word: gates first, then what stores by edges.</summary>
public static class CircuitExamples
{
    public static IReadOnlyList<(string Word, string Says, Func<GateRails, StageValues, GateNetwork> Make)> All { get; } = [.. GateExamples.All, .. SequenceExamples.All];

    /// <summary>Its first gate: of that kind are the stages whose chain restores its levels, and whose usual values it has.</summary>
    /// <param name="word">Of an example.</param>
    /// <returns>Null where there is none of that word.</returns>
    public static Gate? FirstOf(string word) => All.FirstOrDefault(e => e.Word == word).Make?.Invoke(new(28, -14, 6.3), new()).Gates[0];

    /// <summary>The values with which an example is right on 28 V and -14 V; those of an inverter where there is none of that word.</summary>
    public static StageValues UsualOf(string? word, bool isTriode = false) => StageValues.UsualOf(word is null ? GateKind.Nor : FirstOf(word)?.Kind ?? GateKind.Nor, isTriode);
}
