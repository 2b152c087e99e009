using System.Text.Json;

namespace SweepRig.Domain.Plans.Reading;

/// <summary>
/// Texts and keys of JSON as whole Unicode text. The grammar lets an escape stand for half of a character, a surrogate without its pair, and leaves
/// open what a reader makes of it (RFC 8259, 8.2); the library throws only when the text is asked for.
/// </summary>
public static class WholeText
{
    /// <summary>Why a text that is none is refused; the path is left to the caller.</summary>
    public static Refusal Refused { get; } = new(
        "half-a-character", "", "the text has half of a character: a surrogate without its pair", "whole Unicode text is needed", "Write the character itself, in UTF-8, or both halves.");

    /// <param name="element">A JSON string.</param>
    /// <returns>Null when it holds half of a character.</returns>
    public static string? Of(JsonElement element) => Try(() => element.GetString());

    /// <returns>The key; null when it holds half of a character.</returns>
    public static string? Key(JsonProperty property) => Try(() => property.Name);

    private static string? Try(Func<string?> text)
    {
        try
        {
            return text();
        }
        catch (InvalidOperationException)
        {
            return null;
        }
    }
}
