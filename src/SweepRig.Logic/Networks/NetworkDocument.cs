using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Logic.Networks;

/// <summary>A network as a JSON document (RFC 8259) with the unit in each key. Every fault of a document is reported at once, with its path.</summary>
public static class NetworkDocument
{
    /// <summary>Value of the key <c>format</c>; a later shape gets another number.</summary>
    public const string Format = "network/1";

    /// <summary>Longest document read, in characters.</summary>
    public const int MaxCharacters = 1_048_576;

    private static readonly Lazy<string> EmbeddedSchema = new(() => DocumentText.Schema(typeof(NetworkDocument), "SweepRig.Logic.Networks.network.schema.json"));

    /// <summary>The JSON Schema (draft 2020-12) of the document.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <param name="shelf">Where tubes named by number are found.</param>
    /// <returns>A network that passes <see cref="NetworkChecks"/>, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<Network> Parse(string json, ITubeShelf shelf) => DocumentText.Open(json, MaxCharacters, "a network", e => Parse(e, shelf));

    /// <summary>Reads a network from an element of a larger document; paths start at the element.</summary>
    public static Outcome<Network> Parse(JsonElement element, ITubeShelf shelf) => DocumentText.Read(element, "a network", (e, faults) => NetworkReader.Read(e, shelf, faults));
}
