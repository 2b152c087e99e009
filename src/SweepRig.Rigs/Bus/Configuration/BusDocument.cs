using System.Text.Json;
using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

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

    private static readonly Lazy<string> EmbeddedSchema = new(() => DocumentText.Schema(typeof(BusDocument), "SweepRig.Rigs.Bus.bus-rig.schema.json"));

    /// <summary>The JSON Schema (draft 2020-12) of the document. What one value demands of another only <see cref="Parse"/> knows.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <returns>The configuration, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<BusConfig> Parse(string json) => DocumentText.Open(json, MaxCharacters, "the configuration of a bus rig", Read);

    private static Outcome<BusConfig> Read(JsonElement element) => DocumentText.Read(element, "the configuration of a bus rig", BusReader.Read);
}
