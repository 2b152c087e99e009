using SweepRig.Domain;
using SweepRig.Domain.Plans.Reading;

namespace SweepRig.Tubes.Catalogue;

/// <summary>A type as a JSON document (RFC 8259) with the unit in each key. Every fault of a document is reported at once, with its path.</summary>
public static class TypeDocument
{
    /// <summary>Value of the key <c>format</c>; a later shape gets another number.</summary>
    public const string Format = "tube-type/1";

    /// <summary>Longest document read, in characters; a type needs two or three thousand.</summary>
    public const int MaxCharacters = 65_536;

    private const string Place = "SweepRig.Tubes.Catalogue.";

    private static readonly Lazy<string> EmbeddedSchema = new(() => Read(Place + "tube-type.schema.json"));

    /// <summary>The JSON Schema (draft 2020-12) of the document.</summary>
    public static string Schema => EmbeddedSchema.Value;

    /// <summary>Documents of the types that the project brings, by name.</summary>
    internal static IEnumerable<string> Brought =>
        typeof(TypeDocument).Assembly.GetManifestResourceNames().Where(n => n.StartsWith(Place + "Types.", StringComparison.Ordinal)).Order(StringComparer.Ordinal).Select(Read);

    /// <returns>The type, or every fault with its JSON Pointer; malformed JSON gives one fault with line and column.</returns>
    public static Outcome<TubeType> Parse(string json) => DocumentText.Open(json, MaxCharacters, "a tube type", element =>
    {
        var faults = new List<Refusal>();
        var type = TypeReader.Read(element, faults);
        if (faults.Count > 0) return Outcome<TubeType>.Refuse(faults);
        return Outcome<TubeType>.Accept(type ?? throw new InvalidOperationException("SweepRig bug: a type was refused without a reason."));
    });

    /// <summary>The document of a type that the project brings, by its name; null for another.</summary>
    public static string? Text(string name) => Brought.FirstOrDefault(d => Parse(d).Value?.Name == name);

    private static string Read(string name)
    {
        using var stream = typeof(TypeDocument).Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"SweepRig bug: {name} is not embedded.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
