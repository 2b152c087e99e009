using System.Text.RegularExpressions;
using SweepRig.Storage.Schema;

namespace SweepRig.Storage.Moving;

/// <summary>The tables that the steps of the schema make, each after those that it refers to.</summary>
internal static partial class StoreTables
{
    public static IReadOnlyList<string> All { get; } = Sorted();

    private static List<string> Sorted()
    {
        var made = new List<string>();
        var refersTo = new Dictionary<string, HashSet<string>>();
        foreach (var statement in StoreSchema.Steps.SelectMany(step => step.Split(';')))
        {
            if (Subject().Match(statement) is not { Success: true } subject) continue;
            var table = subject.Groups[2].Value;
            if (subject.Groups[1].Value == "CREATE")
            {
                made.Add(table);
                refersTo[table] = [];
            }
            refersTo[table].UnionWith(Reference().Matches(statement).Select(m => m.Groups[1].Value));
        }
        var sorted = new List<string>();
        void Visit(string table)
        {
            if (sorted.Contains(table)) return;
            foreach (var other in refersTo[table].Where(o => o != table)) Visit(other);
            sorted.Add(table);
        }
        foreach (var table in made) Visit(table);
        return sorted;
    }

    [GeneratedRegex(@"\b(CREATE|ALTER) TABLE (\w+)")]
    private static partial Regex Subject();

    [GeneratedRegex(@"\bREFERENCES (\w+)")]
    private static partial Regex Reference();
}
