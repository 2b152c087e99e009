using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>What became of the test of a row when its protection was last taken out.</summary>
/// <param name="Id">Of the row.</param>
/// <param name="Result">Whether the test noticed.</param>
/// <param name="Day">When.</param>
/// <param name="Mark">Of the change and the test that it was found with; with another of either it says nothing.</param>
/// <remarks>One a line in <c>tests/interlock-removals.txt</c>, in the order of the rows.</remarks>
public sealed record Removal(string Id, MutationResult Result, DateOnly Day, string Mark)
{
    public const string List = "tests/interlock-removals.txt";

    private const string Head =
        "# Row, what its test did without its protection, day, and a mark of change and test.\n# Written by: SWEEPRIG_WRITE_REMOVALS=1 tests/figures interlock-mutations\n";

    /// <summary>As the row itself tells it.</summary>
    public string Text => $"{(Result == MutationResult.Noticed ? "fails" : "NOT SHOWN")}, {Iso(Day)}";

    public static string MarkOf(Protection row, Mutation change)
    {
        var what = string.Join('\n', change.File, change.TakenOut, change.Put, row.Project, row.Test);
        return Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(what)))[..8];
    }

    public static IReadOnlyDictionary<string, Removal> Read(string text) => text.Split('\n', StringSplitOptions.RemoveEmptyEntries).Where(l => l[0] != '#').Select(Line).ToDictionary(r => r.Id);

    /// <summary>The list with these in the place of older ones, and without rows that are no more.</summary>
    public static string Write(IReadOnlyList<Protection> rows, IReadOnlyDictionary<string, Removal> found) =>
        Head + string.Concat(rows.Where(r => found.ContainsKey(r.Id)).Select(r => found[r.Id]).Select(r => $"{r.Id} {r.Result} {Iso(r.Day)} {r.Mark}\n"));

    private static Removal Line(string line)
    {
        var words = line.Split(' ');
        return new(words[0], Enum.Parse<MutationResult>(words[1]), DateOnly.ParseExact(words[2], "yyyy-MM-dd", CultureInfo.InvariantCulture), words[3]);
    }

    private static string Iso(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
