using SweepRig.Logic.Gates;

namespace SweepRig.Logic.Timing;

/// <summary>An input that goes high and low again, from a state of rest.</summary>
/// <param name="Low">All inputs before and after.</param>
/// <param name="High">All inputs in between.</param>
/// <param name="Start">State in which it begins.</param>
/// <param name="Answers">Edges that the output makes by the rules of the gates: 0 to 2.</param>
internal sealed record Stimulus(IReadOnlyList<bool> Low, IReadOnlyList<bool> High, IReadOnlyDictionary<string, bool> Start, int Answers)
{
    private const int MostOthers = 6;

    /// <returns>From the state in which the output answers most; null when the network cannot rest.</returns>
    /// <exception cref="ArgumentException">The network has no such input.</exception>
    public static Stimulus? Of(GateNetwork network, string input, string output, IReadOnlyList<bool> others)
    {
        var at = network.Inputs.ToList().IndexOf(input);
        if (at < 0) throw new ArgumentException($"{network.Name} has no input {input}.", nameof(input));
        bool[] low = [.. others], high = [.. others];
        (low[at], high[at]) = (false, true);
        return GateTable.States(network, low).Select(start =>
        {
            var up = SequenceTable.Next(network, start, high);
            var down = up is null ? null : SequenceTable.Next(network, up, low);
            return new Stimulus(low, high, start, up is null || down is null ? 0 : (start[output] != up[output] ? 1 : 0) + (up[output] != down[output] ? 1 : 0));
        }).MaxBy(s => s.Answers);
    }

    /// <summary>The same with whatever the other inputs have to be for the output to answer most.</summary>
    /// <returns>Null when it never answers; of many inputs only all low and all high are tried.</returns>
    public static Stimulus? Best(GateNetwork network, string input, string output)
    {
        var patterns = network.Inputs.Count <= MostOthers ? GateTable.InputPatterns(network) : [new bool[network.Inputs.Count], [.. network.Inputs.Select(_ => true)]];
        return patterns.Select(p => Of(network, input, output, p)).OfType<Stimulus>().Where(s => s.Answers > 0).MaxBy(s => s.Answers);
    }
}
