using System.Text.Json;

namespace SweepRig.Domain.Plans.Reading;

/// <summary>Opens the text of a JSON document (RFC 8259), whatever it is a document of.</summary>
public static class DocumentText
{
    /// <param name="json">The document; a byte order mark before it is passed over.</param>
    /// <param name="maxCharacters">Longest text read.</param>
    /// <param name="kind">What it should be, as "a sweep plan".</param>
    /// <param name="read">Reads its top element; it must not keep the element.</param>
    /// <returns>What <paramref name="read"/> gives; a text that is too long or no JSON gives one refusal, with line and column.</returns>
    public static Outcome<T> Open<T>(string json, int maxCharacters, string kind, Func<JsonElement, Outcome<T>> read)
        where T : class
    {
        ArgumentNullException.ThrowIfNull(json);
        if (json.Length > maxCharacters)
        {
            return Outcome<T>.Refuse(new Refusal(
                "document-too-long", "", $"the document has {json.Length} characters", $"at most {maxCharacters} are read", $"Check that this is {kind}."));
        }
        JsonDocument document;
        try
        {
            document = JsonDocument.Parse(json.TrimStart('\uFEFF'));
        }
        catch (JsonException fault)
        {
            return Outcome<T>.Refuse(Malformed(fault));
        }
        catch (ArgumentException)
        {
            // What the parser says of text that has no UTF-8.
            return Outcome<T>.Refuse(WholeText.Refused);
        }
        using (document) return read(document.RootElement);
    }

    private static Refusal Malformed(JsonException fault)
    {
        // The exception counts lines and bytes from 0, people from 1.
        var where = fault.LineNumber is { } line ? $"line {line + 1}, column {(fault.BytePositionInLine ?? 0) + 1}" : "an unknown place";
        return new("malformed-json", "", $"the document is not valid JSON at {where}", "JSON as in RFC 8259 is needed: no comments, no trailing commas, no NaN",
            "Correct the text at this place.");
    }

    /// <param name="kind">Of document, for a bug: with its article.</param>
    /// <param name="read">Collects every fault in the list.</param>
    /// <returns>What was read, or every fault.</returns>
    public static Outcome<T> Read<T>(JsonElement element, string kind, Func<JsonElement, List<Refusal>, T?> read)
        where T : class
    {
        var faults = new List<Refusal>();
        var document = read(element, faults);
        if (faults.Count > 0) return Outcome<T>.Refuse(faults);
        return Outcome<T>.Accept(document ?? throw new InvalidOperationException($"SweepRig bug: {kind} was refused without a reason."));
    }

    /// <summary>A schema that is embedded beside a type.</summary>
    /// <param name="name">Of the resource.</param>
    public static string Schema(Type beside, string name)
    {
        using var stream = beside.Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"SweepRig bug: {name} is not embedded.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
