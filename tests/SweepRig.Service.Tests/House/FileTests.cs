namespace SweepRig.Service.Tests.House;

/// <summary>Rules on the files themselves.</summary>
public sealed class FileTests
{
    private const int LongestWithoutReason = 400;
    private const int LongestAtAll = 800;
    private const string Reason = "Long because";

    private static readonly string[] Code = [".cs", ".ts", ".svelte", ".css", ".c", ".h", ".py", ".targets", ".props"];

    /// <summary>Words of other worlds, put together here so that this file does not hold them.</summary>
    private static readonly string[] Forbidden =
    [
        "seed " + "document", "trans" + "cript", "vid" + "eo", "../" + "shared", "/wo" + "rk/", "/fa" + "rm", "fa" + "rm-",
    ];

    [Fact]
    public void A_file_of_more_than_400_lines_says_at_its_top_why()
    {
        var tooLong = SourceTree.Files.Where(f => Code.Contains(Path.GetExtension(f)))
            .Select(f => (File: f, Lines: SourceTree.Read(f).Split('\n')))
            .Where(f => f.Lines.Length > LongestAtAll || (f.Lines.Length > LongestWithoutReason && !f.Lines.Take(12).Any(l => l.Contains(Reason, StringComparison.Ordinal))))
            .Select(f => $"{f.File} ({f.Lines.Length} lines)").ToList();
        Assert.True(tooLong.Count == 0, $"Split, or up to {LongestAtAll} lines say in a comment at the top: \"{Reason} ...\": {string.Join(", ", tooLong)}");
    }

    [Fact]
    public void Nothing_speaks_of_what_does_not_belong_to_the_project()
    {
        var found = SourceTree.Files
            .SelectMany(f => Forbidden.Where(w => SourceTree.Read(f).Contains(w, StringComparison.OrdinalIgnoreCase)).Select(w => $"{f}: \"{w}\"")).ToList();
        Assert.True(found.Count == 0, string.Join(", ", found));
    }

    [Fact]
    public void The_tree_is_really_looked_at()
    {
        Assert.Contains("src/SweepRig.Service/Program.cs", SourceTree.Files);
        Assert.Contains("tests/SweepRig.Service.Tests/House/FileTests.cs", SourceTree.Files);
        Assert.DoesNotContain(SourceTree.Files, f => f.Contains("/node_modules/", StringComparison.Ordinal) || f.Contains("/obj/", StringComparison.Ordinal));
    }
}
