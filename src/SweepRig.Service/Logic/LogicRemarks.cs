using SweepRig.Logic.Gates;

namespace SweepRig.Service.Logic;

/// <summary>What must be known beside figures of a circuit.</summary>
public static class LogicRemarks
{
    private const int Named = 4;

    /// <summary>What figures of a chain hold for where a stage has several inputs.</summary>
    public static IEnumerable<string> Of(StageShape shape)
    {
        ArgumentNullException.ThrowIfNull(shape);
        if (shape.Inputs > 1)
            yield return $"One input of each stage follows the stage before; {(shape.Inputs == 2 ? "the other rests" : "the others rest")} {(shape.Kind == GateKind.NandAtGrid ? "high" : "low")}. What all inputs together may be disturbed by is in the table of the gate.";
    }

    /// <param name="marked">Tubes whose figures lean on more than their sweeps have shown, and why.</param>
    public static IEnumerable<string> Of(ChosenTubes chosen, IEnumerable<(string Tube, string Why)> marked)
    {
        ArgumentNullException.ThrowIfNull(chosen);
        var examples = chosen.Tubes.Count(t => t.Part.Number is null);
        if (examples > 0)
            yield return $"{(examples == chosen.Tubes.Count ? examples == 1 ? "This is" : "These are" : examples == 1 ? "One place has" : $"{examples} places have")} an example 6AU6, none of yours. Name tubes that were swept to see what they do.";
        var all = marked.DistinctBy(m => m.Tube).ToList();
        foreach (var (tube, why) in all.Take(Named)) yield return $"{tube}: {why}; figures that lean on it are extrapolated.";
        if (all.Count > Named) yield return $"So are those of {all.Count - Named} more: {List([.. all.Skip(Named).Select(m => m.Tube)])}.";
        if (chosen.NotSwept.Count > 0) yield return $"Left out, as no whole sweep gives a model of them: {List(chosen.NotSwept)}. Sweep them: sweeprig sweep gentle-pentode --tube {chosen.NotSwept[0]}.";
    }

    internal static string List(IReadOnlyList<string> tubes) => tubes.Count <= 8 ? string.Join(", ", tubes) : $"{string.Join(", ", tubes.Take(8))} and {tubes.Count - 8} more";
}
