using System.Text.Json;
using System.Text.RegularExpressions;
using SweepRig.Domain;

namespace SweepRig.Service.Api;

/// <summary>Says what is wrong with a JSON body, without the names of our own types that the reader's message carries.</summary>
public static partial class BodyFault
{
    private const string Remedy = "See /api/openapi.json for what this request takes.";

    public static Refusal Of(JsonException fault)
    {
        var path = Pointer(fault.Path);
        if (fault.Message.Contains("missing required properties", StringComparison.Ordinal))
        {
            var missing = string.Join(", ", QuotedName().Matches(fault.Message).Select(m => m.Groups[1].Value).Where(n => !n.Contains('.', StringComparison.Ordinal)));
            return new("key-missing", path, "a body without " + missing, missing + " must be given", Remedy);
        }
        if (fault.Message.Contains("could not be mapped to any .NET member", StringComparison.Ordinal))
            return new("unknown-key", path, $"an unknown key at {Named(path)}", "unknown keys are faults", "Correct its spelling or leave it out. " + Remedy);
        if (fault.Message.Contains("Duplicate property", StringComparison.Ordinal))
            return new("duplicate-key", path, $"a key given twice at {Named(path)}", "each key stands once", "Leave one out.");
        if (fault.Message.Contains("could not be converted", StringComparison.Ordinal) || fault.Message.Contains("doesn't allow", StringComparison.Ordinal))
            return new("wrong-kind", path, $"a value of another kind at {Named(path)}", "numbers, texts and booleans as the API document states, and no null where it has none", Remedy);
        return new("malformed-json", path, $"a body that is not valid JSON at line {fault.LineNumber + 1}, column {fault.BytePositionInLine + 1}", "JSON as in RFC 8259, with no NaN", "Correct the text at this place.");
    }

    /// <summary>The reader's path ($.a.b[2]) as a JSON Pointer (RFC 6901).</summary>
    private static string Pointer(string? path) =>
        path is null ? "" : PathStep().Replace(path.TrimStart('$'), m => "/" + m.Value.Trim('.', '[', ']', '\''));

    private static string Named(string path) => path.Length == 0 ? "the top" : path;

    [GeneratedRegex(@"'([^']+)'")]
    private static partial Regex QuotedName();

    [GeneratedRegex(@"\.[^.\[]+|\[[^\]]*\]")]
    private static partial Regex PathStep();
}
