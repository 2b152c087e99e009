using System.Text.RegularExpressions;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>A row of <c>firmware-notes/interlocks.md</c>: a protection and the test that must fail without it.</summary>
/// <param name="Id">Letter of the layer and number.</param>
/// <param name="Project">Test project, or <c>make check</c> for the firmware's own tests.</param>
/// <param name="Test">Class and method, or file and function of the firmware's tests.</param>
/// <param name="Removed">What the row says became of the test without the protection.</param>
public sealed partial record Protection(string Id, string Hazard, string Layer, string What, string Project, string Test, string Removed)
{
    public const string Document = "firmware-notes/interlocks.md";
    public const string FirmwareCheck = "make check";

    public bool IsFirmware => Project == FirmwareCheck;

    public static IReadOnlyList<Protection> Read(string document) =>
        [.. Row().Matches(document).Select(m => new Protection(
            m.Groups["id"].Value, m.Groups["hazard"].Value, m.Groups["layer"].Value, m.Groups["what"].Value, m.Groups["project"].Value, m.Groups["test"].Value, m.Groups["removed"].Value))];

    /// <summary>The document with what was found when protections were taken out.</summary>
    public static string WithRemovals(string document, IReadOnlyDictionary<string, Removal> found) => Row().Replace(document, m =>
        found.TryGetValue(m.Groups["id"].Value, out var removal) ? string.Concat(m.Value.AsSpan(0, m.Groups["removed"].Index - m.Index), removal.Text, " |") : m.Value);

    [GeneratedRegex(@"^\| (?<id>[A-Z]\d+) \| (?<hazard>[^|]+) \| (?<layer>[^|]+) \| (?<what>[^|]+) \| (?<project>[^|:]+): `(?<test>[^`]+)` \| (?<removed>[^|]*?) ?\|$", RegexOptions.Multiline)]
    private static partial Regex Row();
}
