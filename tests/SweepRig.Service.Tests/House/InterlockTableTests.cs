using System.Text.RegularExpressions;
using SweepRig.Benchmarks.Mutations;

namespace SweepRig.Service.Tests.House;

/// <summary>
/// <c>firmware-notes/interlocks.md</c> cannot rot: every row names a test that exists, and has a change of the source that takes its protection out.
/// Whether the test then fails is shown by <c>tests/figures interlock-mutations</c>, which writes it into the row.
/// </summary>
public sealed class InterlockTableTests
{
    private static readonly IReadOnlyList<Protection> Rows = Protection.Read(SourceTree.Read(Protection.Document));
    private static readonly IReadOnlyList<Mutation> Changes = Mutation.Read(SourceTree.Read(Mutation.List));

    private static readonly IReadOnlyDictionary<string, Removal> Removals = Removal.Read(SourceTree.Read(Removal.List));

    public static TheoryData<string> Ids => [.. Rows.Select(r => r.Id)];

    [Fact]
    public void Every_row_is_read()
    {
        var rows = SourceTree.Read(Protection.Document).Split('\n').Count(l => Regex.IsMatch(l, @"^\| [A-Z]\d+ \|"));
        Assert.NotEqual(0, rows);
        Assert.Equal(rows, Rows.Count);
        Assert.Equal(Rows.Count, Rows.DistinctBy(r => r.Id).Count());
    }

    [Fact]
    public void Rows_and_changes_are_the_same_set() => Assert.Equal(Rows.Select(r => r.Id).Order(StringComparer.Ordinal), Changes.Select(c => c.Id).Order(StringComparer.Ordinal));

    [Fact]
    public void What_a_row_says_of_its_removal_was_found_with_its_present_change_and_test()
    {
        Assert.Empty(Removals.Keys.Except(Rows.Select(r => r.Id)));
        var stale = Rows.Where(r => !IsShown(r)).Select(r => r.Id).ToList();
        Assert.True(stale.Count == 0, $"Not shown: {string.Join(", ", stale)}. Commit, then: SWEEPRIG_WRITE_REMOVALS=1 SWEEPRIG_PROTECTIONS=\"{string.Join(' ', stale)}\" tests/figures interlock-mutations");

        static bool IsShown(Protection row) => Removals.TryGetValue(row.Id, out var found)
            && found.Result == MutationResult.Noticed && found.Mark == Removal.MarkOf(row, Changes.Single(c => c.Id == row.Id)) && row.Removed == found.Text;
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_row_names_a_test_that_exists_and_its_change_fits_the_source(string id)
    {
        var row = Rows.Single(r => r.Id == id);
        var change = Changes.Single(c => c.Id == id);
        var source = SourceTree.Read(change.File);
        Assert.NotEqual(source, change.Apply(source));
        var parts = row.Test.Split('.');
        if (row.IsFirmware)
        {
            Assert.Contains($"void {parts[1]}(", SourceTree.Read($"firmware-notes/reference/tests/{parts[0]}.c"), StringComparison.Ordinal);
            return;
        }
        Assert.Contains(SourceTree.Under($"tests/{row.Project}", ".cs"), f =>
            Regex.IsMatch(SourceTree.Read(f), $@"\bclass {parts[0]}\b") && Regex.IsMatch(SourceTree.Read(f), $@"\b{parts[1]}\("));
    }
}
