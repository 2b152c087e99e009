using SweepRig.Domain.Tubes;
using SweepRig.Service.Live;

namespace SweepRig.Service.Stock;

/// <summary>
/// Says what speaks against comparing tubes: levels belong to a circuit, and only tubes that were swept in the same one are alike or unlike by them; and figures that deserve
/// caution deserve it here too. Pure.
/// </summary>
public static class Comparability
{
    private const int MostNamed = 5;

    /// <param name="tubes">To be compared.</param>
    /// <param name="words">By these quantities; constants and health figures are of the tube and not of a circuit.</param>
    public static IEnumerable<string> Remarks(IReadOnlyList<TubeFigures> tubes, IEnumerable<string> words)
    {
        string[] asked = [.. words.Distinct()];
        var prefixes = asked.Select(w => w.Split('.')[0]).ToHashSet(StringComparer.Ordinal);
        return [.. Remarks(tubes, Enum.GetValues<ConnectionKind>().Where(k => prefixes.Contains(BenchViews.Word(k)))), .. Marks(tubes, asked)];
    }

    /// <param name="tubes">To be compared.</param>
    /// <param name="kinds">By what was swept in these connections.</param>
    public static IEnumerable<string> Remarks(IReadOnlyList<TubeFigures> tubes, IEnumerable<ConnectionKind> kinds)
    {
        foreach (var kind in kinds)
        {
            var circuits = tubes.Where(t => t.Circuits.ContainsKey(kind)).GroupBy(t => t.Circuits[kind]).OrderByDescending(g => g.Count()).ToArray();
            if (circuits.Length < 2) continue;
            var others = Named(circuits.Skip(1).SelectMany(g => g).Select(t => t.Label));
            yield return $"Not all {BenchViews.Word(kind)} sweeps were made with the same rails and resistors ({Words(circuits[0].Key)} mostly): compare {others} with care, or sweep them again.";
        }
    }

    // What is marked on every figure, as of a rig that is not calibrated, is said once.
    private static IEnumerable<string> Marks(IReadOnlyList<TubeFigures> tubes, string[] words)
    {
        var figures = words.SelectMany(w => tubes.Select(t => (Word: w, t.Label, Figure: t.Figures.GetValueOrDefault(w)))).Where(f => f.Figure?.Value is not null).ToArray();
        var marks = figures.Select(f => (f.Figure!.Mark ?? "").Split("; ", StringSplitOptions.RemoveEmptyEntries)).ToArray();
        if (marks.Length == 0) yield break;
        string[] common = [.. marks[0].Where(part => marks.All(m => m.Contains(part)))];
        if (common.Length > 0) yield return $"All figures: {string.Join("; ", common).TrimEnd('.')}.";
        var others = figures.Zip(marks, (f, m) => (f.Word, f.Label, Mark: string.Join("; ", m.Except(common)).TrimEnd('.'))).Where(m => m.Mark.Length > 0);
        foreach (var some in others.GroupBy(m => (m.Word, m.Mark)).Take(MostNamed)) yield return $"{some.Key.Word} of {Named(some.Select(m => m.Label))}: {some.Key.Mark}.";
    }

    private static string Named(IEnumerable<string> labels)
    {
        string[] all = [.. labels.Order(StringComparer.Ordinal)];
        return all.Length <= MostNamed ? string.Join(", ", all) : $"{string.Join(", ", all.Take(MostNamed))} and {all.Length - MostNamed} more";
    }

    /// <summary>A circuit for people, for example <c>28 V, 22 kΩ</c>.</summary>
    public static string Words(Connection circuit) => $"{circuit.PlateRail}, {circuit.PlateResistor}";
}
