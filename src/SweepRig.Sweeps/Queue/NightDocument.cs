using System.Text;
using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Sweeps.Queue;

/// <summary>A night as a JSON document (RFC 8259) with the unit in each key. Every fault of a document is reported at once, with its path.</summary>
public static class NightDocument
{
    /// <summary>Value of the key <c>format</c>; a later shape gets another number.</summary>
    public const string Format = "night/1";

    /// <summary>Longest document read, in characters; a thousand jobs with plans of their own need that.</summary>
    public const int MaxCharacters = 2_097_152;

    private static readonly Lazy<string> EmbeddedSchema = new(() => DocumentText.Schema(typeof(NightDocument), "SweepRig.Sweeps.Queue.night.schema.json"));

    /// <summary>The JSON Schema (draft 2020-12) of the document.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <returns>The order, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<NightOrder> Parse(string json) => DocumentText.Open(json, MaxCharacters, "a night", Parse);

    /// <summary>Reads a night from an element of a larger document; paths start at the element.</summary>
    public static Outcome<NightOrder> Parse(JsonElement element) => DocumentText.Read(element, "a night", NightReader.Read);

    /// <summary>The limits of a night that is on record, without the rest: a long one has hundreds of thousands of characters of jobs.</summary>
    /// <param name="json">A document that was read once.</param>
    /// <returns>Null where it does not tell them in a way that can be read today.</returns>
    public static NightLimits? Limits(string json)
    {
        var reader = new Utf8JsonReader(Encoding.UTF8.GetBytes(json));
        try
        {
            if (!reader.Read() || reader.TokenType != JsonTokenType.StartObject) return null;
            while (reader.Read() && reader.TokenType == JsonTokenType.PropertyName)
            {
                if (reader.ValueTextEquals(NightReader.LimitsKey)) return NightReader.Limits(JsonElement.ParseValue(ref reader));
                reader.Skip();
            }
        }
        catch (JsonException)
        {
            return null;
        }
        return NightLimits.Default;
    }
}
