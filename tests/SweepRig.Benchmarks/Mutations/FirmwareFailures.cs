using System.Globalization;
using System.Text.RegularExpressions;

namespace SweepRig.Benchmarks.Mutations;

/// <summary>Which test functions of the firmware's own tests failed: each failed check is told with file and line.</summary>
internal static partial class FirmwareFailures
{
    /// <returns>File and function, as <c>test_limits.test_ceiling</c>.</returns>
    public static HashSet<string> In(string said, string folder)
    {
        var failed = new HashSet<string>();
        foreach (Match m in Place().Matches(said))
        {
            var lines = File.ReadAllLines(Path.Combine(folder, m.Groups["file"].Value));
            var line = int.Parse(m.Groups["line"].Value, CultureInfo.InvariantCulture);
            var function = lines.Take(line).Select(l => Function().Match(l)).LastOrDefault(f => f.Success)?.Groups["name"].Value;
            failed.Add($"{Path.GetFileNameWithoutExtension(m.Groups["file"].Value)}.{function}");
        }
        return failed;
    }

    [GeneratedRegex(@"^(?<file>tests/\w+\.c):(?<line>\d+):", RegexOptions.Multiline)]
    private static partial Regex Place();

    [GeneratedRegex(@"^(?:static )?void (?<name>\w+)\(")]
    private static partial Regex Function();
}
