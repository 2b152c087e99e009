using Microsoft.CodeAnalysis.Text;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>One small change of a source file.</summary>
/// <param name="File">Path from the top of the project.</param>
/// <param name="Member">Method or property that it lies in.</param>
/// <param name="Line">From 1 on.</param>
/// <param name="Span">What is taken out.</param>
/// <param name="Was">Its text, blanks folded.</param>
/// <param name="Now">What stands there instead.</param>
internal sealed record SourceMutant(string File, string Member, int Line, TextSpan Span, string Was, string Now)
{
    /// <summary>What is put there, as it is.</summary>
    public required string Put { get; init; }

    /// <summary>Says which it is without a line number, so that an explanation outlives changes elsewhere in the file.</summary>
    public string Key => $"{Path.GetFileName(File)} {Member}: {Was} => {(Now.Length == 0 ? "(nothing)" : Now)}";
}
