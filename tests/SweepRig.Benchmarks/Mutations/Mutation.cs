namespace SweepRig.Benchmarks.Mutations;

/// <summary>How a protection is taken out: a text of one file, and what stands there instead.</summary>
/// <remarks>
/// One after another in <c>tests/interlock-mutations.txt</c>, each as
/// <c>ID PATH</c>, then lines that begin with "- " and are taken out, then lines that begin with "+ " and are put there, then an empty line.
/// </remarks>
public sealed record Mutation(string Id, string File, string TakenOut, string Put)
{
    public const string List = "tests/interlock-mutations.txt";

    public static IReadOnlyList<Mutation> Read(string text) => [.. text.ReplaceLineEndings("\n").Split("\n\n").Where(b => b.Trim().Length > 0).Select(Block)];

    /// <exception cref="InvalidOperationException">The file does not hold the text exactly once.</exception>
    public string Apply(string source)
    {
        var at = source.IndexOf(TakenOut, StringComparison.Ordinal);
        if (at < 0 || source.IndexOf(TakenOut, at + 1, StringComparison.Ordinal) >= 0)
            throw new InvalidOperationException($"{Id}: {File} holds the text to be taken out {(at < 0 ? "nowhere" : "more than once")}: {TakenOut}");
        return source[..at] + Put + source[(at + TakenOut.Length)..];
    }

    private static Mutation Block(string block)
    {
        var lines = block.Trim('\n').Split('\n');
        var head = lines[0].Split(' ', 2);
        string Part(string mark) => string.Join('\n', lines.Skip(1).Where(l => l.StartsWith(mark, StringComparison.Ordinal)).Select(l => l[2..]));
        return new(head[0], head[1], Part("- "), Part("+ "));
    }
}
