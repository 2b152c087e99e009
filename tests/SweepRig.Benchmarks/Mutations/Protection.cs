using System.Text.RegularExpressions;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>A row of <c>firmware-notes/interlocks.md</c>: a protection and the test that must fail without it.</summary>
/// <param name="Id">Letter of the layer and number.</param>
/// <param name="Project">Test project, or <c>make check</c> for the firmware's own tests.</param>
/// <param name="Test">Class and method, or file and function of the firmware's tests.</param>
public sealed partial record Protection(string Id, string Hazard, string Layer, string What, string Project, string Test)
{
    public const string Document = "firmware-notes/interlocks.md";
    public const string FirmwareCheck = "make check";

    public bool IsFirmware => Project == FirmwareCheck;

    public static IReadOnlyList<Protection> Read(string document) =>
        [.. Row().Matches(document).Select(m => new Protection(
            m.Groups["id"].Value, m.Groups["hazard"].Value, m.Groups["layer"].Value, m.Groups["what"].Value, m.Groups["project"].Value, m.Groups["test"].Value))];

    [GeneratedRegex(@"^\| (?<id>[A-Z]\d+) \| (?<hazard>[^|]+) \| (?<layer>[^|]+) \| (?<what>[^|]+) \| (?<project>[^|:]+): `(?<test>[^`]+)` \|$", RegexOptions.Multiline)]
    private static partial Regex Row();
}
