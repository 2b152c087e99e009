using System.Text.Json;
using SweepRig.Domain;

namespace SweepRig.Rigs.Bus.Configuration;

/// <summary>
/// The configuration of a direct bus rig as a JSON document, with the unit in each key. Every fault is reported at once with its path; an unknown key is a
/// fault, as a misspelt limit would otherwise be no limit.
/// </summary>
public static class BusDocument
{
    /// <summary>Value of the key <c>format</c>; a later shape gets another number.</summary>
    public const string Format = "bus-rig/1";

    private const int MaxCharacters = 65_536;

    private static readonly Lazy<string> EmbeddedSchema = new(ReadSchema);

    /// <summary>The JSON Schema (draft 2020-12) of the document. What one value demands of another only <see cref="Parse"/> knows.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <returns>The configuration, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<BusConfig> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        if (json.Length > MaxCharacters)
        {
            return Outcome<BusConfig>.Refuse(new Refusal(
                "document-too-long", "", $"the document has {json.Length} characters", $"at most {MaxCharacters} are read", "Check that this is the configuration of a bus rig."));
        }
        try
        {
            using var document = JsonDocument.Parse(json.TrimStart('\uFEFF'));
            var faults = new List<Refusal>();
            var config = BusReader.Read(document.RootElement, faults);
            if (faults.Count > 0) return Outcome<BusConfig>.Refuse(faults);
            return Outcome<BusConfig>.Accept(config ?? throw new InvalidOperationException("SweepRig bug: a configuration was refused without a reason."));
        }
        catch (JsonException fault)
        {
            var where = fault.LineNumber is { } line ? $"line {line + 1}, column {(fault.BytePositionInLine ?? 0) + 1}" : "an unknown place";
            return Outcome<BusConfig>.Refuse(new Refusal(
                "malformed-json", "", $"the document is not valid JSON at {where}", "JSON as in RFC 8259 is needed: no comments, no trailing commas", "Correct the text at this place."));
        }
    }

    private static string ReadSchema()
    {
        using var stream = typeof(BusDocument).Assembly.GetManifestResourceStream("SweepRig.Rigs.Bus.bus-rig.schema.json")
            ?? throw new InvalidOperationException("SweepRig bug: the schema of bus rigs is not embedded.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
